//! Sittings logged on the page: the beads, the questions, and the same decision as at the terminal.

use std::path::Path;

use super::Page;
use crate::commands::{document, stillroom};

fn case(folder: &Path, name: &str) {
    assert!(stillroom(folder, &["case", "new", name, "--alias", "Clover"]).status.success());
}

/// Presses the beads in order.
fn press(page: &Page, beads: &[&str]) {
    for (at, bead) in beads.iter().enumerate() {
        let pressed = page.post("/practice/sitting/mark", &[("so-far", &at.to_string()), ("bead", bead)]);
        assert_eq!(pressed.status, 303, "{}", pressed.body);
    }
}

const WELL: [&str; 10] = ["alone", "alone", "helped", "alone", "alone", "wrong", "alone", "alone", "alone", "alone"];

#[test]
fn a_sitting_on_the_page_is_the_session_of_the_terminal() {
    let folder = tempfile::tempdir().unwrap();
    case(folder.path(), "paged");
    case(folder.path(), "typed");
    let page = Page::start(folder.path(), &["--case", "paged"]);
    assert_eq!(page.post("/practice/sitting/begin", &[("rung", "0"), ("of", "10")]).status, 303);
    press(&page, &WELL);
    let end = page.get("/practice/sitting/end");
    assert!(end.body.contains("10 of 10 tries: 8 alone, 1 with help, 1 not right."), "{}", end.body);
    let stored = page.post(
        "/practice/sitting/end",
        &[
            ("distress", "no"),
            ("assent", "yes"),
            ("minutes", "9"),
            ("note", "sunny"),
            ("by", "parent"),
            ("task", "leaves"),
        ],
    );
    assert_eq!(stored.status, 303, "{}", stored.body);
    let shown = page.get("/practice");
    assert!(shown.body.contains("The sitting is stored.") && shown.body.contains("<svg"), "{}", shown.body);
    let words = [
        "session",
        "--case",
        "typed",
        "--rung",
        "0",
        "--opportunities",
        "10",
        "--independent",
        "8",
        "--prompted",
        "1",
        "--errors",
        "1",
        "--distress",
        "no",
        "--assent",
        "yes",
        "--minutes",
        "9",
        "--note",
        "sunny",
        "--by",
        "parent",
        "--task",
        "leaves",
    ];
    assert!(stillroom(folder.path(), &words).status.success());
    let review = |case: &str| document(&stillroom(folder.path(), &["review", "--case", case, "--format", "json"]));
    assert_eq!(review("paged"), review("typed"));
    let export = |case: &str| -> Vec<String> {
        let file = format!("{case}.csv");
        assert!(stillroom(folder.path(), &["session", "--case", case, "--export", &file]).status.success());
        let text = std::fs::read_to_string(folder.path().join(file)).unwrap();
        let mut lines: Vec<Vec<String>> =
            text.lines().map(|line| line.split(',').map(ToOwned::to_owned).collect()).collect();
        // The page knows when it began; nobody typed it at the terminal.
        let time = lines[0].iter().position(|name| name == "time");
        if let Some(time) = time {
            lines.iter_mut().for_each(|line| drop(line.remove(time)));
        }
        lines.iter().map(|line| line.join(",")).collect()
    };
    assert_eq!(export("paged"), export("typed"));
}

#[test]
fn what_matters_for_safety_is_never_assumed_and_what_was_typed_stays() {
    let folder = tempfile::tempdir().unwrap();
    case(folder.path(), "clover");
    let page = Page::start(folder.path(), &["--case", "clover"]);
    page.post("/practice/sitting/begin", &[("rung", "1"), ("of", "4")]);
    press(&page, &["alone", "alone"]);
    let refused = page.post("/practice/sitting/end", &[("assent", "yes"), ("note", "short & sweet")]);
    assert_eq!(refused.status, 422);
    for part in ["role=\"alert\"", "Was the child upset", "really on?", "value=\"short &amp; sweet\""] {
        assert!(refused.body.contains(part), "{part}: {}", refused.body);
    }
    let assent = refused.body.split("name=\"assent\"").nth(1).unwrap();
    assert!(assent.split('>').next().unwrap().contains("checked"), "{assent}");
    let list = document(&stillroom(folder.path(), &["case", "list", "clover", "--format", "json"]));
    assert!(list["records"].as_array().unwrap().iter().all(|record| record["kind"] != "session"));
    let minutes = [("distractor-on", "yes"), ("distress", "no"), ("assent", "yes"), ("minutes", "nine")];
    let refused = page.post("/practice/sitting/end", &minutes);
    assert!(refused.status == 422 && refused.body.contains("value=\"nine\""), "{}", refused.body);
}

#[test]
fn no_try_is_lost_or_counted_twice() {
    let folder = tempfile::tempdir().unwrap();
    case(folder.path(), "clover");
    let page = Page::start(folder.path(), &["--case", "clover"]);
    assert_eq!(page.post("/practice/sitting/begin", &[("rung", "0"), ("of", "none")]).status, 422);
    page.post("/practice/sitting/begin", &[("rung", "0"), ("of", "6")]);
    press(&page, &["alone", "wrong", "wrong"]);
    // A second press on the same picture of the thread was one press.
    page.post("/practice/sitting/mark", &[("so-far", "2"), ("bead", "wrong")]);
    page.kill();
    let page = Page::start(folder.path(), &["--case", "clover"]);
    assert!(page.get("/practice").body.contains("Go on with the sitting"));
    assert!(page.get("/practice/sitting").body.contains("3 of 6 tries: 1 alone, 0 with help, 2 not right."));
    page.post("/practice/sitting/mark", &[("so-far", "3"), ("bead", "wrong")]);
    assert!(page.get("/practice/sitting").body.contains("End with something easy"));
    page.post("/practice/sitting/mark", &[("so-far", "4"), ("bead", "undo")]);
    let thread = page.get("/practice/sitting").body;
    assert!(thread.contains("3 of 6 tries") && thread.contains("Stop for today"), "{thread}");
    // Beginning another one does not touch the one that is going on.
    page.post("/practice/sitting/begin", &[("rung", "0"), ("of", "9")]);
    assert!(page.get("/practice/sitting").body.contains("3 of 6 tries"));
    page.post("/practice/sitting/forget", &[]);
    assert!(page.get("/practice").body.contains("Log a sitting"));
}

#[test]
fn a_decision_needs_a_name_and_where_it_differs_a_reason() {
    let folder = tempfile::tempdir().unwrap();
    case(folder.path(), "clover");
    let words = [
        "session",
        "--case",
        "clover",
        "--rung",
        "0",
        "--independent",
        "6",
        "--errors",
        "4",
        "--distress",
        "no",
        "--assent",
        "yes",
    ];
    assert!(stillroom(folder.path(), &words).status.success());
    let page = Page::start(folder.path(), &["--case", "clover"]);
    let nameless = page.post("/practice/decide", &[("decision", "hold"), ("why", "a cold")]);
    assert!(nameless.status == 422 && nameless.body.contains("value=\"a cold\""), "{}", nameless.body);
    let terminal = stillroom(folder.path(), &["decide", "--case", "clover", "--by", "kl", "--decision", "advance"]);
    let said = String::from_utf8(terminal.stderr).unwrap().lines().next().unwrap().replace("error: ", "");
    let reasonless = page.post("/practice/decide", &[("decision", "advance"), ("by", "kl")]);
    assert_eq!(reasonless.status, 422);
    assert!(reasonless.body.contains(&said), "{said}\n{}", reasonless.body);
    assert_eq!(page.post("/practice/decide", &[("decision", "hold"), ("by", "kl")]).status, 303);
    let shown = page.get("/practice").body;
    assert!(shown.contains("The decision is stored.") && shown.contains("Decided by kl"), "{shown}");
}

#[test]
fn an_observation_takes_marks_and_never_what_is_no_aim() {
    let folder = tempfile::tempdir().unwrap();
    case(folder.path(), "clover");
    let page = Page::start(folder.path(), &["--case", "clover"]);
    let form = |what: &'static str, marks: &'static str| {
        [("what", what), ("method", "momentary"), ("interval", "15"), ("marks", marks)]
    };
    let refused = page.post("/practice/sample", &form("hand flapping", "yyn"));
    assert!(refused.status == 422 && refused.body.contains("is not sampled here"), "{}", refused.body);
    assert_eq!(page.post("/practice/sample", &form("at the task", "yes")).status, 422);
    let stored = page.post("/practice/sample", &form("at the task", "y y n - Y"));
    assert!(
        stored.status == 200
            && stored.body.contains("75 % of 4 intervals")
            && stored.body.contains("stored in the case")
    );
}

#[test]
fn the_ladder_is_a_draft_until_somebody_signs_it() {
    let folder = tempfile::tempdir().unwrap();
    assert!(stillroom(folder.path(), &["demo", "--into", "demo"]).status.success());
    let page = Page::start(folder.path(), &["--case", "demo/case"]);
    for path in ["/ladder", "/practice/stuck", "/room/change", "/practice", "/meter?rung=1"] {
        let reply = page.get(path);
        assert!(!reply.body.contains("://"), "{path}");
        assert!(reply.status == 200 && !reply.body.contains("{$") && !reply.body.contains("role=\"alert\""), "{path}");
    }
    let ladder = page.get("/ladder").body;
    assert!(ladder.contains("Today") && ladder.contains("<svg"), "{ladder}");
    let compared = document(&stillroom(folder.path(), &["compare", "--case", "demo/case", "--format", "json"]));
    let change = page.get("/room/change").body;
    let (before, after) = (compared["load_before"].as_f64().unwrap(), compared["load_after"].as_f64().unwrap());
    assert!(change.contains(&format!("Load {before:.0} before, {after:.0} now")), "{change}");
    let told = document(&stillroom(folder.path(), &["troubleshoot", "--case", "demo/case", "--format", "json"]));
    let stuck = page.get("/practice/stuck").body;
    for look in told["looks"].as_array().unwrap() {
        let first = look["text"].as_str().unwrap().split(['"', '\'', '&', '<']).next().unwrap();
        assert!(stuck.contains(first), "{first}");
    }
    let planned = page.post("/ladder/plan", &[("place", "no such place")]);
    assert!(planned.status == 422 && planned.body.contains("value=\"no such place\""), "{}", planned.body);
}

#[test]
fn the_caseload_shows_the_cases_that_the_terminal_shows() {
    let folder = tempfile::tempdir().unwrap();
    case(folder.path(), "one");
    case(folder.path(), "two");
    let page = Page::start(folder.path(), &["--case", "one"]);
    assert_eq!(page.get("/caseload").status, 200);
    let here = folder.path().to_str().unwrap();
    let shown = page.post("/caseload", &[("folder", here)]);
    let told = document(&stillroom(folder.path(), &["caseload", here, "--format", "json"]));
    let cases = told["cases"].as_array().unwrap();
    assert_eq!((shown.status, shown.body.matches("type=\"hidden\" name=\"folder\"").count()), (200, cases.len()));
    // Who asks for all cases sees those beside the open one at once.
    assert_eq!(page.get("/caseload").body.matches("type=\"hidden\" name=\"folder\"").count(), cases.len());
    for one in cases {
        let card = shown.body.split("<section").find(|card| card.contains(one["folder"].as_str().unwrap())).unwrap();
        let due = match one["due"].as_str().unwrap() {
            "today" => "due today",
            "this week" => "due this week",
            _ => "nothing due",
        };
        assert!(card.contains(due), "{due}: {card}");
        for why in one["why"].as_array().unwrap().iter().chain(one["missing"].as_array().unwrap()) {
            let text = why["text"].as_str().unwrap().split(['"', '&', '<']).next().unwrap();
            assert!(card.contains(text), "{text}: {card}");
        }
    }
    // A damaged case is named, and the others are still there.
    for entry in std::fs::read_dir(folder.path().join("two")).unwrap() {
        std::fs::write(entry.unwrap().path(), "damaged").unwrap();
    }
    let shown = page.post("/caseload", &[("folder", here)]).body;
    assert!(
        shown.contains("One folder was left out") && shown.contains("two: ") && shown.contains("/one\""),
        "{shown}"
    );
    let opened = page.post("/case/open", &[("folder", &folder.path().join("one").display().to_string())]);
    assert_eq!(opened.status, 303);
}
