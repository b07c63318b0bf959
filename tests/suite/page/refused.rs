//! What is refused: said beside its field in the words of the terminal, with everything that was typed still there, and
//! with the files that came along held.

use std::path::Path;

use super::{Page, Reply};
use crate::commands::{file, root, stillroom};

/// Text of a page as a reader sees it.
fn plain(body: &str) -> String {
    body.replace("&quot;", "\"").replace("&lt;", "<").replace("&gt;", ">").replace("&amp;", "&")
}

/// What the terminal refuses, without its first word.
#[track_caller]
fn terminal(folder: &Path, words: &[&str]) -> String {
    let out = stillroom(folder, words);
    assert_eq!(out.status.code(), Some(1), "{words:?}");
    String::from_utf8(out.stderr).unwrap().lines().next().unwrap().trim_start_matches("error: ").to_owned()
}

/// Refused, with these words beside that field, and with every value that was typed.
#[track_caller]
fn beside(reply: &Reply, field: &str, words: &str, typed: &[(&str, &str)]) {
    let body = plain(&reply.body);
    assert_eq!(reply.status, 422, "{body}");
    let there = body.split(&format!("id=\"{field}-wrong\"")).nth(1).unwrap_or_else(|| panic!("{field}: {body}"));
    let said = there.split("</div>").next().unwrap();
    assert!(said.contains("role=\"alert\"") && said.contains(words), "`{words}` is not beside {field}: {said}");
    for (name, value) in typed {
        let kept = body.split('<').any(|tag| {
            tag.contains(&format!("name=\"{name}\""))
                && (tag.contains(&format!("value=\"{value}\"")) || tag.contains(&format!(">\n{value}")))
                && (!tag.contains("type=\"radio\"") && !tag.contains("type=\"checkbox\"") || tag.contains(" checked"))
        });
        assert!(kept, "{name} = {value} is gone: {body}");
    }
}

fn demo() -> (tempfile::TempDir, Page) {
    let folder = tempfile::tempdir().unwrap();
    assert!(stillroom(folder.path(), &["demo", "--into", "demo"]).status.success());
    let page = Page::start(folder.path(), &["--case", "demo/case"]);
    (folder, page)
}

/// Sends a form with files.
fn send(page: &Page, path: &str, fields: &[(&str, &str)], files: &[(&str, &str, &[u8])]) -> Reply {
    let mut body = Vec::new();
    for (name, value) in fields {
        body.extend(
            format!("--edge\r\nContent-Disposition: form-data; name=\"{name}\"\r\n\r\n{value}\r\n").into_bytes(),
        );
    }
    for (field, name, bytes) in files {
        let head = format!("--edge\r\nContent-Disposition: form-data; name=\"{field}\"; filename=\"{name}\"\r\n\r\n");
        body.extend(head.into_bytes());
        body.extend_from_slice(bytes);
        body.extend(b"\r\n");
    }
    body.extend(b"--edge--\r\n");
    page.ask(
        &format!("POST {path}"),
        &format!("{}Content-Type: multipart/form-data; boundary=edge\r\n", page.known()),
        &body,
    )
}

/// The value of a hidden field.
fn hidden(body: &str, name: &str) -> String {
    let at =
        body.split(&format!("type=\"hidden\" name=\"{name}\" value=\"")).nth(1).unwrap_or_else(|| panic!("{body}"));
    at.split('"').next().unwrap().to_owned()
}

#[test]
fn cases_are_refused_beside_their_fields() {
    let folder = tempfile::tempdir().unwrap();
    let page = Page::start(folder.path(), &[]);
    let at = folder.path();
    let words = terminal(at, &["case", "show", "nowhere"]);
    beside(&page.post("/case/open", &[("folder", "nowhere")]), "folder", &words, &[("folder", "nowhere")]);
    let words = terminal(at, &["caseload", "nowhere"]);
    beside(&page.post("/caseload", &[("folder", "nowhere")]), "folder", &words, &[("folder", "nowhere")]);
    let full = |alias, born, at| {
        [
            ("alias", alias),
            ("born", born),
            ("keep", "picture schedule\nring"),
            ("sound-sensitive", "yes"),
            ("hearing-checked", "no"),
            ("new-folder", at),
        ]
    };
    let typed = full("anna@example.org", "2022-07", "x");
    let words = terminal(at, &["case", "new", "x", "--alias", "anna@example.org"]);
    beside(&page.post("/case/new", &typed), "alias", &words, &typed);
    let typed = full("Fern", "2022-07-04", "x");
    let words = terminal(at, &["case", "new", "x", "--alias", "Fern", "--born", "2022-07-04"]);
    beside(&page.post("/case/new", &typed), "born", &words, &typed);
    std::fs::create_dir(at.join("full")).unwrap();
    std::fs::write(at.join("full/photo.txt"), "x").unwrap();
    let typed = full("Fern", "", "full");
    let words = terminal(at, &["case", "new", "full", "--alias", "Fern"]);
    beside(&page.post("/case/new", &typed), "new-folder", &words, &typed);
    // An alias that looks like a full name is asked about, and can be confirmed.
    let typed = full("Anna Berg", "", "berg");
    let words = terminal(at, &["case", "new", "berg", "--alias", "Anna Berg"]);
    let doubted = page.post("/case/new", &typed);
    beside(&doubted, "alias", &words, &typed);
    assert!(doubted.body.contains("name=\"sure\"") && !doubted.body.contains("--sure"));
    let mut sure = typed.to_vec();
    sure.push(("sure", "yes"));
    assert_eq!(page.post("/case/new", &sure).status, 303);
    // Without a folder the case is named after its alias; it is offered where a case is chosen.
    assert_eq!(page.post("/case/new", &full("Fern", "", "")).status, 303);
    assert!(at.join("fern").is_dir() && page.get("/").body.contains("value=\"berg\""));
}

#[test]
fn decisions_and_ladders_are_refused_beside_their_fields() {
    let (folder, page) = demo();
    let typed = [("decision", "hold"), ("why", "a cold & rain"), ("by", "")];
    let words = terminal(folder.path(), &["decide", "--case", "demo/case", "--decision", "hold", "--by", " "]);
    beside(&page.post("/practice/decide", &typed), "by", &words, &typed);
    let typed = [("decision", "step-back"), ("by", "kl")];
    let words = terminal(folder.path(), &["decide", "--case", "demo/case", "--decision", "step-back", "--by", "kl"]);
    beside(&page.post("/practice/decide", &typed), "why", &words, &typed);
    let typed = [("place", "no such place"), ("task", "leaves")];
    let words = terminal(folder.path(), &["ladder", "--case", "demo/case", "--place", "no such place"]);
    beside(&page.post("/ladder/plan", &typed), "place", &words, &typed);
}

#[test]
fn a_walk_keeps_what_is_right_and_says_what_is_not() {
    let (_folder, page) = demo();
    let typed = [("list", "play-floor"), ("by", "visitor"), ("keep", "ring\nschedule")];
    beside(&page.post("/room", &typed), "place", "Give the place a name.", &typed);
    assert_eq!(page.post("/room", &[("list", "home-corner"), ("place", "window table")]).status, 303);
    let at = "/room/walk/home-corner/table";
    let shown = page.get(at).body;
    let names: Vec<&str> = shown
        .split("inputmode=\"numeric\"")
        .skip(1)
        .filter_map(|tag| tag.split("name=\"").nth(1)?.split('"').next())
        .collect();
    let (first, second) = (names[0], names[1]);
    let typed = [(first, "minus two"), (second, "3")];
    beside(&page.post(at, &typed), first, "minus two", &typed);
    // The right one is kept although the other was not.
    let again = page.get(at).body;
    assert!(again.contains(&format!("name=\"{second}\" value=\"3\"")) && !again.contains("minus two"), "{again}");
    let unseen = format!("w-{}", first.trim_start_matches("a-"));
    let typed = [(first, "-1"), (&unseen, "under the cloth")];
    beside(&page.post(at, &typed), first, "-1", &typed);
}

#[test]
fn sittings_and_observations_are_refused_beside_their_fields() {
    let (_folder, page) = demo();
    let typed = [("rung", "2"), ("of", "none")];
    beside(&page.post("/practice/sitting/begin", &typed), "of", "`none` is no number that fits", &typed);
    assert_eq!(page.post("/practice/sitting/begin", &[("rung", "1"), ("of", "5")]).status, 303);
    let typed = [("assent", "yes"), ("note", "short & sweet"), ("minutes", "nine"), ("by", "aunt")];
    let refused = page.post("/practice/sitting/end", &typed);
    beside(&refused, "distress", "Please answer this", &typed);
    beside(&refused, "distractor-on", "Please answer this", &typed);
    beside(&refused, "minutes", "`nine` is no number that fits", &typed);
    let typed = [
        ("what", "hand flapping"),
        ("method", "whole"),
        ("interval", "20"),
        ("length", "3"),
        ("marks", "yyn"),
        ("by", "aunt"),
    ];
    beside(&page.post("/practice/sample", &typed), "what", "is not sampled here", &typed);
    let typed = [("what", "at the task"), ("method", "partial"), ("interval", "1"), ("length", "3"), ("marks", "yyn")];
    beside(&page.post("/practice/sample", &typed), "interval", "no number that fits", &typed);
    let typed = [("what", "at the task"), ("method", "partial"), ("interval", "9"), ("marks", "yes")];
    beside(&page.post("/practice/sample", &typed), "marks", "are no marks", &typed);
}

#[test]
fn files_that_came_with_a_refused_form_are_held() {
    let (folder, page) = demo();
    let room = std::fs::read(file("demo/room-after.flac")).unwrap();
    let voice = std::fs::read(file("demo/voice-after.flac")).unwrap();
    let words = terminal(folder.path(), &["sound", &file("demo/room-after.flac"), "--offset", "900"]);
    let typed = [("offset", "900"), ("child-audible", "yes")];
    let files = [("sound", "room.flac", &room[..]), ("voice", "voice.flac", &voice[..])];
    let refused = send(&page, "/sound", &typed, &files);
    beside(&refused, "offset", &words, &typed);
    assert!(refused.body.contains("Still here: room.flac") && refused.body.contains("Still here: voice.flac"));
    let held = hidden(&refused.body, "held");
    let read = send(&page, "/sound", &[("held", &held), ("offset", "")], &[("sound", "", b"")]);
    assert!(read.status == 200 && read.body.contains("room.flac"), "{}", read.body);
    let whole = send(&page, "/sound", &[], &files);
    let levels = |body: &str| body.split("<dl").nth(1).unwrap().split("</dl>").next().unwrap().to_owned();
    assert_eq!(levels(&read.body), levels(&whole.body));
    // They are held once, for that form.
    let none = send(&page, "/sound", &[("held", &held)], &[]);
    beside(&none, "sound", "Choose a file first", &[]);
}

#[test]
fn a_file_that_cannot_be_read_is_named_and_only_the_others_are_held() {
    let (folder, page) = demo();
    let photo = std::fs::read(file("demo/photo-after-1.jpg")).unwrap();
    std::fs::write(folder.path().join("bad.jpg"), b"no picture").unwrap();
    let words = terminal(folder.path(), &["photo", "bad.jpg"]);
    let files = [("photo", "good.jpg", &photo[..]), ("photo", "bad.jpg", b"no picture")];
    let refused = send(&page, "/photo", &[], &files);
    beside(&refused, "photo", &words, &[]);
    assert!(refused.body.contains("Still here: good.jpg.") && refused.body.contains("bad.jpg"), "{}", refused.body);
    let read = send(&page, "/photo", &[("held", &hidden(&refused.body, "held"))], &[]);
    assert!(read.status == 200 && read.body.contains("good.jpg"), "{}", read.body);
    // In an audit the refused voice goes, photo and recording stay, and so does what was typed.
    assert_eq!(page.post("/room", &[("list", "group-room"), ("place", "hall")]).status, 303);
    let room = std::fs::read(file("demo/room-after.flac")).unwrap();
    let files =
        [("photo", "a.jpg", &photo[..]), ("sound", "room.flac", &room[..]), ("voice", "voice.txt", b"no sound")];
    std::fs::write(folder.path().join("voice.txt"), b"no sound").unwrap();
    let words = terminal(folder.path(), &["sound", "voice.txt"]);
    let typed = [("minutes", "25")];
    let refused = send(&page, "/room/measure/group-room", &typed, &files);
    beside(&refused, "voice", words.split(": ").last().unwrap(), &typed);
    assert!(refused.body.contains("Still here: a.jpg.") && refused.body.contains("Still here: room.flac."));
    assert!(!refused.body.contains("Still here: voice.txt"));
    let minus =
        send(&page, "/room/measure/group-room", &[("held", &hidden(&refused.body, "held")), ("minutes", "-3")], &[]);
    let words = terminal(
        folder.path(),
        &["audit", "--checklist", "home-corner", "--answers", &answers(), "--minutes=-3", "--place", "hall"],
    );
    beside(&minus, "minutes", &words, &[("minutes", "-3")]);
    let done =
        send(&page, "/room/measure/group-room", &[("held", &hidden(&minus.body, "held")), ("minutes", "25")], &[]);
    assert_eq!(done.status, 303, "{}", done.body);
}

fn answers() -> String {
    let all = root().join("demo");
    let found = std::fs::read_dir(all).unwrap().map(|entry| entry.unwrap().path());
    found.filter(|path| path.to_string_lossy().contains("answers")).min().unwrap().display().to_string()
}

#[test]
fn marks_of_an_observation_outlive_the_page() {
    let folder = tempfile::tempdir().unwrap();
    assert!(stillroom(folder.path(), &["case", "new", "clover", "--alias", "Clover"]).status.success());
    let page = Page::start(folder.path(), &["--case", "clover"]);
    let fields = [("what", "at the task"), ("method", "whole"), ("interval", "20"), ("length", "4"), ("by", "aunt")];
    let mut so_far = fields.to_vec();
    so_far.push(("marks", "yn-y"));
    assert_eq!(page.post("/practice/sample/keep", &so_far).status, 200);
    let wrong = [("what", "at the task"), ("marks", "yes")];
    assert_eq!(page.post("/practice/sample/keep", &wrong).status, 422);
    page.kill();
    let page = Page::start(folder.path(), &["--case", "clover"]);
    let shown = page.get("/practice/sample").body;
    assert!(shown.contains("4 marks of an observation were kept at"), "{shown}");
    for part in ["value=\"yn-y\"", "value=\"20\"", "value=\"aunt\""] {
        assert!(shown.contains(part), "{part}: {shown}");
    }
    let stored = page.post("/practice/sample", &so_far);
    assert!(stored.status == 200 && stored.body.contains("67 % of 3 intervals"), "{}", stored.body);
    assert!(!page.get("/practice/sample").body.contains("were kept at"));
    page.post("/practice/sample/keep", &so_far);
    assert_eq!(page.post("/practice/sample/forget", &[]).status, 303);
    assert!(!page.get("/practice/sample").body.contains("were kept at"));
}
