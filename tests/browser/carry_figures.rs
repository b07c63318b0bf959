//! Same figures: what the module measures in the browser is what the terminal prints, for every recording, photo and ladder
//! that the checks know.

use std::path::{Path, PathBuf};
use std::process::Command;

use serde_json::Value;

use super::house::file;
use super::phone::{Phone, template};

/// The same code in another machine's instructions: the last digits of a sum may differ where its order does.
const SAME: f64 = 1e-9;
/// Recordings: their spectra are transformed in single precision (half a unit is 6e-8), by vector instructions of another
/// order here and there, so that a level moves by 10·lg(1 + 1e-7) = 4e-7 dB and a difference of two by twice that.
const SINGLE: f64 = 1e-5;

/// The first place where two documents differ.
fn difference(one: &Value, other: &Value, within: f64, at: &str) -> Option<String> {
    match (one, other) {
        (Value::Number(a), Value::Number(b)) => {
            let (a, b) = (a.as_f64().unwrap(), b.as_f64().unwrap());
            ((a - b).abs() > within * a.abs().max(1.0)).then(|| format!("{at}: {a} and {b}"))
        }
        (Value::Array(a), Value::Array(b)) if a.len() == b.len() => {
            a.iter().zip(b).enumerate().find_map(|(i, (a, b))| difference(a, b, within, &format!("{at}[{i}]")))
        }
        (Value::Object(a), Value::Object(b)) if a.len() == b.len() => a.iter().find_map(|(key, a)| {
            b.get(key)
                .map_or(Some(format!("{at}.{key} is missing")), |b| difference(a, b, within, &format!("{at}.{key}")))
        }),
        _ => (one != other).then(|| format!("{at}: {one} and {other}")),
    }
}

/// What the terminal prints of a file, or the code of its refusal.
fn native(words: &[&str], path: &Path) -> Value {
    let out = Command::new(env!("CARGO_BIN_EXE_stillroom"))
        .args(words)
        .arg(path)
        .args(["--format", "json"])
        .env("LC_ALL", "C")
        .output()
        .unwrap();
    if out.status.success() {
        return serde_json::from_slice(&out.stdout).unwrap();
    }
    let refusal: Value = serde_json::from_slice(&out.stderr).unwrap();
    serde_json::json!({ "refused": refusal["code"] })
}

/// Compares all files of one kind; how many were measured, how many refused alike.
fn compared(phone: &Phone, what: &str, words: &[&str], files: &[PathBuf]) -> (usize, usize) {
    phone.browser.run(
        "document.querySelector('main').innerHTML = '<input type=file id=vectors multiple>'; document.querySelector('#vectors').hidden = false",
    );
    let mut refused = 0;
    for path in files {
        phone.browser.run("document.querySelector('#vectors').value = ''");
        phone.browser.kind_in("#vectors", &path.display().to_string());
        let read = phone.browser.run_to_end(&format!(
            "const done = arguments[arguments.length - 1];
            const file = document.querySelector('#vectors').files[0];
            file.arrayBuffer().then(bytes => done(stillroom.figures('{what}', file.name, new Uint8Array(bytes))), fault => done(String(fault)));"
        ));
        let carried = read.as_str().map_or_else(|| read.clone(), |text| serde_json::from_str(text).unwrap());
        let mut printed = native(words, path);
        // What could explain a busy place is read from a checklist, which the terminal adds.
        for place in printed.get_mut("busy_places").and_then(Value::as_array_mut).into_iter().flatten() {
            place["could_be"] = serde_json::json!([]);
        }
        if !printed["refused"].is_null() {
            refused += 1;
            // A picture of more bytes than 32-bit memory can count is refused earlier there, as one that cannot be read.
            let alike = printed == carried || (printed["refused"] == "too-large" && carried["refused"] == "unreadable");
            assert!(alike, "{}: {printed} and {carried}", path.display());
            continue;
        }
        let differs = difference(&printed, &carried, if what == "sound" { SINGLE } else { SAME }, "");
        assert!(differs.is_none(), "{}: {differs:?}", path.display());
    }
    (files.len() - refused, refused)
}

fn files_of(folder: &str, endings: &[&str]) -> Vec<PathBuf> {
    let mut found: Vec<PathBuf> = std::fs::read_dir(file(folder))
        .unwrap()
        .map(|entry| entry.unwrap().path())
        .filter(|path| path.extension().is_some_and(|own| endings.iter().any(|ending| own == *ending)))
        .collect();
    found.sort();
    found
}

#[test]
fn every_vector_gives_the_same_figures_as_the_terminal() {
    let folder = tempfile::tempdir().unwrap();
    let phone = Phone::open(Path::new(&template()), folder.path(), &[]);
    let mut photos = files_of("tests/oracle/photo", &["jpg", "png", "gif", "webp", "bmp", "heic"]);
    photos.extend(files_of("demo", &["jpg"]));
    let (measured, refused) = compared(&phone, "photo", &["photo"], &photos);
    assert!(measured >= 35 && refused >= 8, "{measured} photos measured, {refused} refused");

    let mut sounds = files_of("tests/oracle/sound", &["wav", "flac", "mp3", "ogg", "m4a"]);
    sounds.extend(files_of("demo", &["flac"]));
    let (measured, refused) = compared(&phone, "sound", &["sound"], &sounds);
    assert!(measured >= 25 && refused >= 3, "{measured} recordings measured, {refused} refused");

    let ladders: Vec<PathBuf> = ladder_inputs(folder.path());
    let (measured, _) = compared(&phone, "ladder", &["ladder", "--from"], &ladders);
    assert_eq!(measured, ladders.len());
}

/// Rooms of growing size, with counts to split, sounds that add up, a thing that needs another, and speech.
fn ladder_inputs(folder: &Path) -> Vec<PathBuf> {
    (1..=6)
        .map(|size| {
            let mut text = "format = \"stillroom.ladder-input/1\"\norder = [\"seen\", \"heard\", \"company\"]\n\
                background_db = 36.0\nsound_cap_db = 65.0\nnovelty = 0.5\nmax_step = 0.2\n[sensitivity]\nseen = 1.0\nheard = 1.5\n\
                company = 1.0\n[heard]\ndb = [35.0, 40.0, 45.0, 50.0, 55.0, 60.0, 65.0, 70.0]\n\
                pull = [0.0, 0.05, 0.11, 0.19, 0.29, 0.42, 0.58, 0.80]\nspeech_db = 10.0\n"
                .to_owned();
            for one in 1..=size {
                let share = f64::from(one) / 10.0;
                text.push_str(&format!(
                    "[[distractor]]\nid = \"toys-{one}\"\nchannel = \"seen\"\nstart = 0\ngoal = 2\n\
                    [[distractor.level]]\nname = \"some\"\npull = {:?}\ncount = {}\n[[distractor.level]]\nname = \"many\"\npull = {:?}\ncount = {}\n\
                    [[distractor]]\nid = \"sound-{one}\"\nchannel = \"heard\"\nstart = 0\ngoal = 1\nneeds = {{ id = \"toys-{one}\", level = 1 }}\n\
                    [[distractor.level]]\nname = \"on\"\ndb = {:?}\nspeech = {}\n",
                    0.11 + share / 3.0, one + 1, 0.31 + share / 2.0, one + 5, 40.0 + 1.7 * f64::from(one), one % 2 == 0
                ));
            }
            let path = folder.join(format!("room-{size}.toml"));
            std::fs::write(&path, text).unwrap();
            path
        })
        .collect()
}
