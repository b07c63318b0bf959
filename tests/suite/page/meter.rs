//! Sound from a microphone, sent in blocks: measured by the program, refused in its words, kept by nobody.

use super::{Page, Reply};
use crate::commands::{document, stillroom};

/// The live level of a tone may be off by this much, dB; what is measured is within 0.05.
const LIVE: f64 = 0.1;

fn page() -> (tempfile::TempDir, Page) {
    let folder = tempfile::tempdir().unwrap();
    let page = Page::start(folder.path(), &[]);
    (folder, page)
}

/// A tone of a kilohertz in blocks of a tenth of a second.
fn tone(amplitude: f64, rate: u32, seconds: u32) -> Vec<f32> {
    let sample = |i: u32| amplitude * (std::f64::consts::TAU * 1000.0 * f64::from(i) / f64::from(rate)).sin();
    #[expect(clippy::cast_possible_truncation, reason = "samples are single")]
    let samples = (0..rate * seconds).map(|i| sample(i) as f32).collect();
    samples
}

fn bytes(samples: &[f32]) -> Vec<u8> {
    samples.iter().flat_map(|sample| sample.to_le_bytes()).collect()
}

fn send(page: &Page, path: &str, body: &[u8]) -> Reply {
    let head = format!("{}Content-Type: application/octet-stream\r\n", page.known());
    page.ask(&format!("POST {path}"), &head, body)
}

fn level(reply: &Reply, name: &str) -> f64 {
    let rest = reply.body.split(&format!("data-{name}=\"")).nth(1).expect(&reply.body);
    rest.split('"').next().unwrap().parse().unwrap()
}

/// Starts a meter, sends the samples, gives the last picture.
fn measure(page: &Page, fields: &[(&str, &str)], samples: &[f32]) -> Reply {
    let begun = page.post("/live/start", fields);
    assert_eq!(begun.status, 200, "{}", begun.body);
    let path = format!("/live/{}", begun.body);
    let mut last = None;
    for block in samples.chunks(4_410) {
        last = Some(send(page, &path, &bytes(block)));
    }
    last.unwrap()
}

#[test]
fn blocks_of_a_known_tone_give_its_level() {
    let (_folder, page) = page();
    for rate in [44_100, 48_000] {
        let samples = tone(0.1, rate, 2);
        let reply = measure(&page, &[("rate", &rate.to_string())], &samples);
        for name in ["now", "second", "laeq"] {
            // Peak 0.1: 20·lg(0.1/√2) = −23.010 dB.
            assert!((level(&reply, name) + 23.010).abs() < LIVE, "{rate} {name}: {}", reply.body);
        }
        assert!((level(&reply, "seconds") - 2.0).abs() < 1e-9);
        let calibrated = measure(&page, &[("rate", &rate.to_string()), ("offset", "100")], &samples);
        assert!((level(&calibrated, "laeq") - 76.990).abs() < LIVE, "{}", calibrated.body);
    }
}

#[test]
fn the_pebble_lies_below_at_and_over_the_target_in_words() {
    let (_folder, page) = page();
    let samples = tone(0.001, 48_000, 1);
    for (target, words) in [("60", "Quieter than the target of 60 dB."), ("47", "At the target"), ("40", "Louder than")]
    {
        let reply = measure(&page, &[("rate", "48000"), ("offset", "110"), ("target", target)], &samples);
        assert!(reply.body.contains(words) && reply.body.contains("class=\"pebble\""), "{target}: {}", reply.body);
    }
    let loud = measure(&page, &[("rate", "48000"), ("offset", "110"), ("target", "60")], &tone(0.1, 48_000, 1));
    assert!(loud.body.contains("switch it off"), "{}", loud.body);
}

#[test]
fn without_a_calibration_there_is_no_target_in_decibels_but_a_voice() {
    let (_folder, page) = page();
    let refused = page.post("/live/start", &[("rate", "48000"), ("target", "50")]);
    assert!(
        refused.status == 422 && refused.body.contains("a target in dB needs a calibrated device"),
        "{}",
        refused.body
    );
    assert_eq!(page.post("/live/start", &[("rate", "48000"), ("target", "voice")]).status, 422);
    let begun = page.post("/live/start", &[("rate", "48000")]);
    let path = format!("/live/{}", begun.body);
    send(&page, &path, &bytes(&tone(0.1, 48_000, 2)));
    assert_eq!(send(&page, &format!("{path}/voice"), b"").status, 200);
    assert_eq!(send(&page, &path, &bytes(&[0.0])).status, 422);
    let fields = [("rate", "48000"), ("target", "voice")];
    let quieter = measure(&page, &fields, &tone(0.03, 48_000, 1));
    assert!(
        quieter.body.contains("Quieter than the adult&#39;s voice")
            || quieter.body.contains("Quieter than the adult's voice"),
        "{}",
        quieter.body
    );
    let as_loud = measure(&page, &fields, &tone(0.1, 48_000, 1));
    assert!(as_loud.body.contains("As loud as"), "{}", as_loud.body);
}

#[test]
fn what_is_no_sound_is_refused() {
    let (_folder, page) = page();
    for fields in
        [&[("rate", "10")][..], &[("rate", "48000"), ("offset", "many")], &[("rate", "48000"), ("offset", "900")]]
    {
        assert_eq!(page.post("/live/start", fields).status, 422, "{fields:?}");
    }
    let begun = page.post("/live/start", &[("rate", "48000")]);
    for block in [&b"abc"[..], &f32::INFINITY.to_le_bytes()] {
        assert_eq!(send(&page, &format!("/live/{}", begun.body), block).status, 422);
    }
    assert_eq!(send(&page, "/live/999", &bytes(&[0.0])).status, 422);
    assert_eq!(send(&page, "/live/x", &bytes(&[0.0])).status, 422);
}

/// A WAV file of 32-bit floats, as the page's script writes it.
fn wav(samples: &[f32], rate: u32) -> Vec<u8> {
    let size = u32::try_from(4 * samples.len()).unwrap();
    let mut file = b"RIFF".to_vec();
    file.extend((36 + size).to_le_bytes());
    file.extend(b"WAVEfmt ");
    file.extend(16_u32.to_le_bytes());
    file.extend([3, 0, 1, 0]);
    file.extend(rate.to_le_bytes());
    file.extend((4 * rate).to_le_bytes());
    file.extend([4, 0, 32, 0]);
    file.extend(b"data");
    file.extend(size.to_le_bytes());
    file.extend(bytes(samples));
    file
}

#[test]
fn a_recording_made_on_the_page_reads_as_at_the_terminal() {
    let (folder, page) = page();
    let file = wav(&tone(0.02, 48_000, 6), 48_000);
    std::fs::write(folder.path().join("sound.wav"), &file).unwrap();
    let mut body = b"--edge\r\nContent-Disposition: form-data; name=\"sound\"; filename=\"sound.wav\"\r\n\r\n".to_vec();
    body.extend(&file);
    body.extend(b"\r\n--edge--\r\n");
    let head = format!("{}Content-Type: multipart/form-data; boundary=edge\r\n", page.known());
    let reply = page.ask("POST /sound", &head, &body);
    assert_eq!(reply.status, 200, "{}", reply.body);
    let told = document(&stillroom(folder.path(), &["sound", "sound.wav", "--format", "json"]));
    for name in ["laeq_db", "lceq_db", "lafmax_db", "la90_db"] {
        let db = told["levels"][name].as_f64().unwrap();
        let shown = format!("{db:.1} dBFS");
        assert!(
            reply.body.contains(&shown) || reply.body.contains(&shown.replace('-', "−")),
            "{name} {shown}: {}",
            reply.body
        );
    }
}

#[test]
fn the_scripts_come_from_here_and_ask_for_an_untouched_microphone() {
    let (_folder, page) = page();
    let script = page.get("/listen.js");
    for name in ["echoCancellation", "noiseSuppression", "autoGainControl", "getSettings()"] {
        assert!(script.body.contains(name), "{name}");
    }
    for path in ["/listen.js", "/ear.js", "/timer.js", "/page.js"] {
        let script = page.get(path);
        assert!(script.status == 200 && !script.body.contains("://") && !script.body.contains("eval"), "{path}");
    }
    let policy = page.get("/meter").head;
    assert!(policy.contains("script-src 'self'") && !policy.contains("unsafe"), "{policy}");
}
