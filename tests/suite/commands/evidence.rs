//! What a child's sessions say of the scale, as a clinician asks for it.

use super::practising::Made;

/// Ten sessions up three rungs: the third thing that comes is far too much.
const CLIMB: &str = "2026-03-02,0,10,10,0,0,0,yes,no,12,,sorting,window table\n\
    2026-03-03,0,10,10,0,0,0,yes,no,12,,sorting,window table\n\
    2026-03-04,1,10,10,0,0,0,yes,yes,12,,sorting,window table\n\
    2026-03-05,1,10,9,1,0,0,yes,yes,12,,sorting,window table\n\
    2026-03-06,2,10,10,0,0,0,yes,yes,12,,sorting,window table\n\
    2026-03-09,2,10,9,1,0,0,yes,yes,12,,sorting,window table\n\
    2026-03-10,3,10,4,4,2,0,yes,yes,12,,sorting,window table\n\
    2026-03-11,2,10,9,1,0,0,yes,yes,12,,sorting,window table\n\
    2026-03-12,3,10,3,5,2,0,yes,yes,12,,sorting,window table\n";

#[test]
fn each_rung_has_one_forecast_from_the_days_before_it() {
    let made = Made::with_ladder();
    made.take(CLIMB);
    let found = made.done(&["evidence", "--case", "clover", "--on", "2026-03-12"]);
    assert_eq!(found["schema"], "stillroom.evidence/1");
    assert_eq!((found["sessions"].as_u64(), found["opportunities"].as_u64()), (Some(9), Some(90)));
    let forecasts = found["forecasts"].as_array().unwrap();
    let rungs: Vec<_> = forecasts.iter().map(|one| one["rung"].as_u64().unwrap()).collect();
    assert_eq!(rungs, [1, 2, 3]);
    assert!(found["record"]["no_better"].is_null(), "three forecasts prove nothing");
    for one in forecasts {
        let of = |key: &str| one[key].as_f64().unwrap();
        assert!(0.0 <= of("low") && of("low") <= of("mean") && of("mean") <= of("high") && of("high") <= 1.0, "{one}");
        assert!(of("score") < 0.0);
    }
    // A forecast knows nothing of what came later.
    let then = made.done(&["evidence", "--case", "clover", "--on", "2026-03-06"]);
    assert_eq!(then["forecasts"].as_array().unwrap()[..2], forecasts[..2]);
    for one in found["distractors"].as_array().unwrap() {
        assert_eq!(one["enough"].as_bool().unwrap(), !one["factor"].is_null(), "{one}");
        assert_eq!(one["enough"].as_bool().unwrap(), one["opportunities"].as_u64().unwrap() >= 30, "{one}");
    }
    let highest = found["next"]["rung"].as_u64().unwrap();
    assert!(found["probe"]["rung"].as_u64().unwrap() <= highest);
}

#[test]
fn a_pause_has_no_forecast_and_no_probe() {
    let made = Made::with_ladder();
    let upset = |day| format!("2026-03-{day},2,4,1,2,1,1,no,yes,4,,sorting,window table\n");
    made.take(&format!("{CLIMB}{}{}", upset(13), upset(14)));
    let found = made.done(&["evidence", "--case", "clover", "--on", "2026-03-14"]);
    let review = made.done(&["review", "--case", "clover", "--on", "2026-03-14"]);
    assert_eq!(review["decision"], "pause", "{review}");
    assert!(found["next"].is_null() && found["probe"].is_null(), "{found}");
    // Safety first: nothing is foretold while practice is paused, and no plan or session lifts it.
    assert_eq!(stored(&made), 0);
    made.done(&["ladder", "--case", "clover", "--by", "clinician"]);
    assert_eq!(stored(&made), 0);
    assert_eq!(made.done(&["review", "--case", "clover", "--on", "2026-03-14"])["decision"], "pause");
    assert!(found["cautions"].as_array().unwrap().iter().any(|caution| caution["code"] == "pause"));
}

#[test]
fn without_a_ladder_or_a_session_there_is_nothing_to_foretell() {
    let made = Made::new();
    assert_eq!(made.refused(&["evidence", "--case", "clover"])["code"], "no-session");
    made.take(CLIMB);
    assert_eq!(made.refused(&["evidence", "--case", "clover"])["code"], "no-plan");
    assert_eq!(made.refused(&["evidence", "--case", "clover", "--task", "juggling"])["code"], "no-session");
}

/// How many forecasts a case holds.
fn stored(made: &Made) -> usize {
    let list = made.done(&["case", "list", "clover"]);
    list["records"].as_array().unwrap().iter().filter(|one| one["kind"] == "forecast").count()
}

/// One session of today, so many of ten alone.
fn sit(made: &Made, rung: u32, alone: u32) {
    let (rung, alone) = (rung.to_string(), alone.to_string());
    let words = ["session", "--case", "clover", "--rung", &rung, "--opportunities", "10", "--independent", &alone];
    let rest = ["--distress", "no", "--assent", "yes", "--distractor-on", if rung == "0" { "no" } else { "yes" }];
    let around = ["--task", "sorting", "--place", "window table"];
    made.done(&[&words[..], &rest, &around].concat());
}

#[test]
fn a_forecast_is_stored_before_a_rung_once_and_scored_by_the_session_after_it() {
    let made = Made::with_ladder();
    assert_eq!(stored(&made), 0, "nothing to foretell from");
    made.take(&CLIMB[..CLIMB.find("2026-03-04").unwrap()]);
    assert_eq!(stored(&made), 1, "the cleared room is passed: rung 1 is foretold");
    let review = made.done(&["review", "--case", "clover"]);
    assert_eq!(review["forecasts"]["open"]["rung"], 1);
    assert_eq!(review["forecasts"]["record"]["forecasts"], 0);
    // Asked again, decided, planned again: the one that stands is not written again.
    made.done(&["decide", "--case", "clover", "--by", "clinician"]);
    made.done(&["ladder", "--case", "clover", "--by", "clinician"]);
    assert_eq!(stored(&made), 1);
    // A session of an earlier day was no forecast's to tell.
    made.take("2026-03-04,1,10,10,0,0,no,yes,yes,12,,sorting,window table\n");
    assert_eq!(made.done(&["review", "--case", "clover"])["forecasts"]["record"]["forecasts"], 0);
    sit(&made, 1, 10);
    let review = made.done(&["review", "--case", "clover"]);
    assert_eq!(review["forecasts"]["record"]["forecasts"], 1, "{}", review["forecasts"]);
    assert!(review["forecasts"]["record"]["no_better"].is_null());
    let all = made.done(&["caseload", "."]);
    assert_eq!(all["forecasts"], review["forecasts"]["record"]);
    assert_eq!(all["cases"][0]["forecasts"], review["forecasts"]["record"]);
}

#[test]
fn eight_forecasts_no_better_than_the_guess_are_said_in_the_review() {
    let made = Made::with_ladder();
    made.take(&CLIMB[..CLIMB.find("2026-03-04").unwrap()]);
    for rung in 1..=9 {
        // Better on each rung, as the load never foretells.
        sit(&made, rung, rung + 1);
        let ahead =
            ["decide", "--case", "clover", "--by", "clinician", "--decision", "advance", "--why", "it goes well"];
        made.done(&ahead);
    }
    let review = made.done(&["review", "--case", "clover"]);
    let record = &review["forecasts"]["record"];
    assert_eq!(record["forecasts"], 9, "{record}");
    assert_eq!(record["no_better"], true, "{record}");
    assert!(review["cautions"].as_array().unwrap().iter().any(|one| one["code"] == "no-better"));
}

/// The plan as the command shows it, nothing stored.
fn planned(made: &Made, more: &[&str]) -> serde_json::Value {
    made.done(&[&["ladder", "--case", "clover", "--by", "clinician", "--dry-run"][..], more].concat())
}

fn codes(plan: &serde_json::Value) -> Vec<&str> {
    plan["cautions"].as_array().unwrap().iter().map(|one| one["code"].as_str().unwrap()).collect()
}

#[test]
fn a_plan_goes_by_what_turned_out_stronger_and_keeps_what_was_climbed() {
    let made = Made::with_ladder();
    let first = planned(&made, &[]);
    assert!(first["learned"].is_null() && !codes(&first).contains(&"learned"));
    // The thing that rung 3 brings is far too much each time, all before it is not.
    let mut rows = String::new();
    for week in 0..6 {
        let mut day = |rung: u32, alone: u32, on: &str| {
            let date = 1 + week * 4 + rung;
            let errors = 10 - alone;
            rows.push_str(&format!(
                "2026-03-{date:02},{rung},10,{alone},0,{errors},0,yes,{on},12,,sorting,window table\n"
            ));
        };
        day(0, 10, "no");
        day(1, 10, "yes");
        day(2, 10, "yes");
        day(3, 1, "yes");
    }
    made.take(&rows);
    let hard = first["rungs"][2]["distractor"].as_str().unwrap();
    let found = made.done(&["evidence", "--case", "clover"]);
    let told = found["distractors"].as_array().unwrap().iter().find(|one| one["id"] == hard).unwrap();
    assert_eq!(told["differs"], true, "{told}");
    let plan = planned(&made, &[]);
    assert_eq!(plan["learned"][0]["id"], hard, "{}", plan["learned"]);
    assert!(plan["learned"][0]["low"].as_f64().unwrap() > 1.0);
    assert!(codes(&plan).contains(&"learned") && codes(&plan).contains(&"learned-loads"));
    let kept = usize::try_from(plan["kept_to"].as_u64().unwrap()).unwrap();
    assert!((1..=3).contains(&kept));
    assert_eq!(plan["rungs"].as_array().unwrap()[..kept], first["rungs"].as_array().unwrap()[..kept]);
    // What is new weighs more, and the scale's own load stands beside it.
    let last = plan["rungs"].as_array().unwrap().last().unwrap();
    assert!(last["load"].as_f64().unwrap() > last["scale_load"].as_f64().unwrap());
    let alone = planned(&made, &["--scale-only"]);
    assert_eq!(alone["rungs"], first["rungs"]);
    // Stored, the plan teaches the same as before: what is learned is told against the scale.
    made.done(&["ladder", "--case", "clover", "--by", "clinician"]);
    let again = made.done(&["evidence", "--case", "clover"]);
    let after = again["distractors"].as_array().unwrap().iter().find(|one| one["id"] == hard).unwrap();
    assert_eq!(after["factor"], told["factor"]);
}

#[test]
fn where_the_load_foretells_nothing_the_plan_goes_by_the_list_and_locks_still_hold() {
    let made = Made::with_ladder();
    made.take(&CLIMB[..CLIMB.find("2026-03-04").unwrap()]);
    for rung in 1..=9 {
        sit(&made, rung, rung + 1);
        let ahead =
            ["decide", "--case", "clover", "--by", "clinician", "--decision", "advance", "--why", "it goes well"];
        made.done(&ahead);
    }
    let plan = planned(&made, &["--from-rung", "0"]);
    assert!(codes(&plan).contains(&"by-list"), "{:?}", codes(&plan));
    assert!(plan["learned"].is_null());
    let seen: Vec<&str> = (plan["rungs"].as_array().unwrap().iter())
        .filter(|rung| rung["card"]["channel"] == "seen" && rung["level"] == 1)
        .map(|rung| rung["distractor"].as_str().unwrap())
        .collect();
    let list = made.done(&["checklist", "show", "home-corner"]);
    let items = list["items"].as_array().unwrap().iter().map(|item| item["id"].as_str().unwrap());
    let listed: Vec<&str> = items.filter(|id| seen.contains(id)).collect();
    assert_eq!(seen, listed);
    // Unsigned, nobody has asked about sounds: none comes in, by whatever order.
    let draft = made.done(&["ladder", "--case", "clover", "--from-rung", "0", "--dry-run"]);
    assert!(codes(&draft).contains(&"by-list"));
    assert!(draft["rungs"].as_array().unwrap().iter().all(|rung| rung["card"]["channel"] != "heard"));
    let scale = planned(&made, &["--from-rung", "0", "--scale-only"]);
    assert!(!codes(&scale).contains(&"by-list"));
}

/// Children of a clinic, each with the sessions of the same climb in which the third thing is far too much.
fn clinic(children: usize) -> Made {
    let made = Made::with_ladder();
    let mut rows = String::new();
    for week in 0..6 {
        for (rung, alone, on) in [(0, 10, "no"), (1, 10, "yes"), (2, 10, "yes"), (3, 4, "yes")] {
            let (date, errors) = (1 + week * 4 + rung, 10 - alone);
            rows.push_str(&format!(
                "2026-03-{date:02},{rung},10,{alone},0,{errors},0,yes,{on},12,,sorting,window table\n"
            ));
        }
    }
    made.take(&rows);
    let records = |name: &str| made.path().join(name);
    for child in 1..children {
        let name = format!("child-{child}");
        made.done(&["case", "new", &name, "--alias", "Clover"]);
        for file in std::fs::read_dir(records("clover")).unwrap() {
            let file = file.unwrap().path();
            if !file.to_string_lossy().contains("-child-") {
                std::fs::copy(&file, records(&name).join(file.file_name().unwrap())).unwrap();
            }
        }
    }
    made
}

#[test]
fn a_clinics_scale_takes_twenty_children_is_shrunk_and_loads() {
    let few = clinic(19);
    assert_eq!(few.refused(&["caseload", ".", "--learn", "--out", "own.toml"])["code"], "too-few-children");
    // A copy of a case is no other child.
    std::fs::create_dir(few.path().join("copy")).unwrap();
    for file in std::fs::read_dir(few.path().join("clover")).unwrap() {
        let file = file.unwrap().path();
        std::fs::copy(&file, few.path().join("copy").join(file.file_name().unwrap())).unwrap();
    }
    assert_eq!(few.refused(&["caseload", ".", "--learn", "--out", "own.toml"])["code"], "too-few-children");
    assert!(!few.path().join("own.toml").exists());

    let made = clinic(20);
    let plan = planned(&made, &["--scale-only"]);
    let hard = plan["rungs"][2]["distractor"].as_str().unwrap();
    let found = made.done(&["caseload", ".", "--learn", "--out", "own.toml"]);
    assert_eq!((&found["schema"], &found["children"]), (&"stillroom.learned-scale/1".into(), &20.into()));
    let pulls = found["pulls"].as_array().unwrap();
    let told = pulls.iter().find(|one| one["id"] == hard).unwrap();
    let of = |key: &str| told[key].as_f64().unwrap();
    assert!(1.0 < of("low") && of("low") < of("factor") && of("factor") < of("high"), "{told}");
    // One child's own sessions say more than the clinic's scale, which is drawn towards the shipped one.
    let alone = made.done(&["evidence", "--case", "clover"]);
    let alone = alone["distractors"].as_array().unwrap().iter().find(|one| one["id"] == hard).unwrap();
    assert!(of("factor") < alone["factor"].as_f64().unwrap() * 1.5);
    // Nothing in it says who: the shipped scale, and numbers behind it.
    let text = std::fs::read_to_string(made.path().join("own.toml")).unwrap();
    assert!(text.starts_with(include_str!("../../../checklists/scale.toml").trim_end()));
    for name in ["clover", "Clover", "child", "window", "sorting"] {
        assert!(!text[text.find("# Learned").unwrap()..].replace("children", "").contains(name), "{name}");
    }
    // Never written over, and it loads: the thing weighs that much more.
    assert_eq!(made.refused(&["caseload", ".", "--learn", "--out", "own.toml"])["code"], "exists");
    let answers = super::file("demo/answers-before.toml");
    let audit = |more: &[&str]| {
        let words = ["audit", "--checklist", "home-corner", "--answers", &answers, "--place", "table"];
        made.done(&[&words[..], more].concat())
    };
    let (shipped, own) = (audit(&[]), audit(&["--scale", "own.toml"]));
    let part = |audit: &serde_json::Value| {
        let shares = audit["shares"].as_array().unwrap();
        let share = shares.iter().find(|one| one["id"] == hard).unwrap()["share"].as_f64().unwrap();
        share * audit["pull"].as_f64().unwrap()
    };
    // The file has four places.
    assert!((part(&own) / part(&shipped) - of("factor")).abs() < 1e-4, "{} {}", part(&own), part(&shipped));
}
