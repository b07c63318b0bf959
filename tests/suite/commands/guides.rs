//! The guides, followed word for word: every command line of theirs is typed in order, in a folder with the files they name.

use std::fs;
use std::path::Path;

use super::{file, root, said, stillroom};

/// The command lines of a guide's `sh` blocks.
fn lines(guide: &str) -> Vec<String> {
    let text = fs::read_to_string(root().join("docs/guides").join(guide)).unwrap();
    let blocks = text.split("```sh\n").skip(1).map(|rest| rest.split("```").next().unwrap());
    blocks.flat_map(str::lines).map(str::to_owned).collect()
}

/// A command line as a shell takes it apart: words, quotes, and a file that takes the output.
fn typed(folder: &Path, line: &str) {
    let (line, into) = line.split_once(" > ").map_or((line, None), |(line, into)| (line, Some(into)));
    let mut words = Vec::new();
    for (piece, quoted) in line.split('"').zip([false, true].into_iter().cycle()) {
        if quoted {
            words.push(piece);
        } else {
            words.extend(piece.split_whitespace());
        }
    }
    assert_eq!(words.remove(0), "stillroom", "{line}");
    let output = stillroom(folder, &words);
    assert!(output.status.success(), "{line}\n{}", said(&output));
    if let Some(into) = into {
        fs::write(folder.join(into), &output.stdout).unwrap();
    }
}

fn follow(guide: &str, folder: &Path, files: &[(&str, &str)]) -> usize {
    for (name, source) in files {
        fs::copy(file(source), folder.join(name)).unwrap();
    }
    let lines = lines(guide);
    for line in &lines {
        typed(folder, line);
    }
    lines.len()
}

/// The case of the demo, as a clinician or a parent would have it by then.
fn demo_case(folder: &Path, into: &str) {
    let made = stillroom(folder, &["demo", "--into", "demo"]);
    assert!(made.status.success(), "{}", said(&made));
    fs::create_dir_all(folder.join(into).parent().unwrap()).unwrap();
    fs::rename(folder.join("demo/case"), folder.join(into)).unwrap();
}

#[test]
fn the_visitor_makes_an_audit_as_the_guide_says() {
    let folder = tempfile::tempdir().unwrap();
    let files = [
        ("corner.toml", "demo/answers-before.toml"),
        ("room.wav", "demo/room-before.flac"),
        ("voice.wav", "demo/voice.flac"),
        ("left.jpg", "demo/photo-before-1.jpg"),
        ("right.jpg", "demo/photo-before-2.jpg"),
    ];
    assert!(follow("visitor.md", folder.path(), &files) > 6);
    for made in ["doorstep.html", "photo-guide.html", "questions.html", "blank.toml", "family.html", "visit.html"] {
        assert!(fs::metadata(folder.path().join(made)).unwrap().len() > 500, "{made}");
    }
}

#[test]
fn the_parent_rechecks_and_practises_as_the_guide_says() {
    let folder = tempfile::tempdir().unwrap();
    demo_case(folder.path(), "clover");
    let files = [
        ("after.toml", "demo/answers-after.toml"),
        ("room-after.wav", "demo/room-after.flac"),
        ("voice-after.wav", "demo/voice-after.flac"),
        ("left-after.jpg", "demo/photo-after-1.jpg"),
        ("right-after.jpg", "demo/photo-after-2.jpg"),
    ];
    assert!(follow("parent.md", folder.path(), &files) > 6);
    assert!(folder.path().join("my-copy").is_dir());
}

#[test]
fn the_clinician_prescribes_and_follows_as_the_guide_says() {
    let folder = tempfile::tempdir().unwrap();
    demo_case(folder.path(), "cases/clover");
    let files = [("visitor.toml", "demo/answers-before.toml"), ("parent.toml", "demo/answers-before.toml")];
    // A week that is not in the case yet.
    let head = fs::read_to_string(file("demo/sessions.csv")).unwrap().lines().next().unwrap().to_owned();
    let day = "2026-11-12,2,10,9,1,0,0,yes,yes,8,,matching leaf shapes,window table,parent,,0";
    fs::write(folder.path().join("week.csv"), format!("{head}\n{day}\n")).unwrap();
    assert!(follow("clinician.md", folder.path(), &files) > 10);
    assert!(folder.path().join("cards.html").is_file());
}
