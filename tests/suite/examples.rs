//! The examples for library use do what they show.

#[path = "../../examples/ladder.rs"]
#[expect(dead_code, reason = "its main is for people")]
mod ladder;
#[path = "../../examples/photo.rs"]
#[expect(dead_code, reason = "its main is for people")]
mod photo;
#[path = "../../examples/recording.rs"]
#[expect(dead_code, reason = "its main is for people")]
mod recording;

fn oracle(name: &str) -> Vec<u8> {
    std::fs::read(std::path::Path::new(env!("CARGO_MANIFEST_DIR")).join("tests/oracle").join(name)).unwrap()
}

#[test]
fn a_recording_is_read_and_told() {
    let told = recording::told(&recording::read(oracle("sound/background.wav"), "background.wav", None).unwrap());
    assert!(told.starts_with("LAeq \u{2212}") || told.starts_with("LAeq -"), "{told}");
    assert!(told.contains("dBFS") && told.contains("third octaves"), "{told}");
    let calibrated = recording::read(oracle("sound/background.wav"), "background.wav", Some(96.0)).unwrap();
    assert!(recording::told(&calibrated).contains(" dB,"));
    assert!(recording::read(b"no recording".to_vec(), "x.wav", None).is_err());
}

#[test]
fn a_photo_is_scored_and_told() {
    let busy = stillroom::photo::measure(&oracle("photo/room-64.jpg")).unwrap();
    let told = photo::told(&busy);
    assert!(told.starts_with("busyness ") && told.contains("it would make a load of"), "{told}");
    assert!(told.lines().any(|line| line.starts_with("busy from ")), "{told}");
}

#[test]
fn a_ladder_is_built_and_told() {
    let ladder = ladder::build().unwrap();
    assert_eq!(ladder.rungs.len(), 3);
    let told = ladder::told(&ladder);
    assert!(told.contains("proven the smallest") && told.contains("3. New: radio"), "{told}");
}
