//! The examples for library use do what they show.

#[path = "../../examples/children.rs"]
#[expect(dead_code, reason = "its main is for people")]
mod children;
#[path = "../../examples/ladder.rs"]
#[expect(dead_code, reason = "its main is for people")]
mod ladder;
#[path = "../../examples/manual.rs"]
#[expect(dead_code, reason = "its main is for people")]
mod manual;
#[path = "../../examples/notices.rs"]
#[expect(dead_code, reason = "its main is for people")]
mod notices;
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

#[test]
fn every_command_has_its_manual_page_and_is_completed() {
    let share = tempfile::tempdir().unwrap();
    manual::write(share.path()).unwrap();
    let read = |name: &str| std::fs::read_to_string(share.path().join(name)).unwrap();
    let shells = [
        "bash-completion/completions/stillroom",
        "zsh/site-functions/_stillroom",
        "fish/vendor_completions.d/stillroom.fish",
    ];
    let completions = shells.map(read);
    let mut open: Vec<(String, clap::Command)> = vec![("stillroom".to_owned(), stillroom::cli::definitions())];
    let mut pages = 0;
    while let Some((name, command)) = open.pop() {
        let page = read(&format!("man/man1/{name}.1"));
        let about = command.get_about().unwrap().to_string();
        let first = about.split(' ').next().unwrap();
        assert!(page.contains(first), "{name}: its page does not say what it does");
        for option in command.get_arguments().filter_map(clap::Arg::get_long) {
            assert!(page.contains(&option.replace('-', "\\-")), "{name}: --{option} is not on its page");
        }
        for (shell, completion) in shells.iter().zip(&completions) {
            assert!(completion.contains(command.get_name()), "{shell} does not complete {name}");
        }
        open.extend(command.get_subcommands().map(|below| (format!("{name}-{}", below.get_name()), below.clone())));
        pages += 1;
    }
    assert!(pages > 30, "{pages} pages");
}

#[test]
fn the_notices_name_the_libraries_of_this_build() {
    let root = std::path::Path::new(env!("CARGO_MANIFEST_DIR"));
    let (made, kept) = (notices::notices(root).unwrap(), std::fs::read_to_string(root.join("NOTICES.md")).unwrap());
    assert!(made == kept, "write it again: cargo run --example notices > NOTICES.md");
}

#[test]
fn the_children_a_test_takes_are_those_of_the_paper() {
    let root = std::path::Path::new(env!("CARGO_MANIFEST_DIR"));
    let paper = std::fs::read_to_string(root.join("docs/VALIDATION.md")).unwrap();
    assert!(paper.contains(&children::table()), "docs/VALIDATION.md should say\n{}", children::table());
    // Pairs for one correlation, 1/(n − 3) the variance of its z: 85 for 0.3 and 783 for 0.1 (Cohen 1988, section 3.4, from memory).
    for (r, pairs) in [(0.3, 85.0), (0.1, 783.0)] {
        assert!(((children::told(r, 1.0) + 3.0).ceil() - pairs).abs() < 0.5, "{r}");
    }
}
