//! The browser's microphone, fed with a known tone: levels right to 0.2 dB, the meter of a rung, its delay, its warnings.

use std::path::Path;
use std::thread;
use std::time::Duration;

use super::driver::Browser;
use super::house::{House, stillroom};

/// How far a level may lie from that of the tone, dB.
const RIGHT: f64 = 0.2;
/// Most milliseconds from a sound to its picture.
const LATENCY_MS: f64 = 250.0;
/// The tone: 1 kHz, where the A-weighting is 0 dB, at a tenth of full scale; whole periods, so that it goes on seamlessly.
const HZ: u32 = 1000;
const AMPLITUDE: f64 = 0.1;
const RATE: u32 = 48_000;

/// Writes the tone as a WAV file of two seconds, 16 bit, two channels.
fn tone(path: &Path) {
    let mut samples = Vec::new();
    for at in 0..2 * RATE {
        let value = AMPLITUDE * (std::f64::consts::TAU * f64::from(HZ) * f64::from(at) / f64::from(RATE)).sin();
        #[expect(clippy::cast_possible_truncation, reason = "a tenth of full scale fits")]
        let bytes = ((value * 32_767.0).round() as i16).to_le_bytes();
        samples.extend(bytes);
        samples.extend(bytes);
    }
    let size = u32::try_from(samples.len()).unwrap();
    let mut file = b"RIFF".to_vec();
    file.extend((36 + size).to_le_bytes());
    file.extend(b"WAVEfmt ");
    file.extend(16_u32.to_le_bytes());
    file.extend([1, 0, 2, 0]);
    file.extend(RATE.to_le_bytes());
    file.extend((4 * RATE).to_le_bytes());
    file.extend([4, 0, 16, 0]);
    file.extend(b"data");
    file.extend(size.to_le_bytes());
    file.extend(samples);
    std::fs::write(path, file).unwrap();
}

/// The level of the tone as the terminal reads its file.
fn level(folder: &Path) -> f64 {
    let read = stillroom(folder, &["sound", "tone.wav", "--format", "json"]);
    let read: serde_json::Value = serde_json::from_slice(&read.stdout).unwrap();
    let level = read["levels"]["laeq_db"].as_f64().unwrap();
    // A sine of a tenth of full scale: 20 lg 0.1 - 3.01 dB, if full scale is that of a square wave, else without the 3.01.
    let sine = 20.0 * AMPLITUDE.log10();
    assert!((level - sine).abs() < 0.05 || (level - sine + 3.01).abs() < 0.05, "{level}");
    level
}

/// A browser whose microphone hears the tone, and a house.
fn listening() -> (House, Browser, f64) {
    let house = House::open("en");
    let wav = house.folder.path().join("tone.wav");
    tone(&wav);
    let level = level(house.folder.path());
    let browser = Browser::new(&[
        "--use-fake-ui-for-media-stream",
        "--use-fake-device-for-media-stream",
        "--autoplay-policy=no-user-gesture-required",
        &format!("--use-file-for-fake-audio-capture={}", wav.display()),
    ]);
    browser.open(&house.address);
    (house, browser, level)
}

#[test]
fn a_recording_from_the_microphone_has_the_level_of_the_tone() {
    let (house, browser, level) = listening();
    for (width, height) in [(1280, 900), (390, 800)] {
        browser.view(width, height);
        browser.open(&house.at("/sound"));
        browser.click(".recorder[data-into=sound] .record");
        browser.wait_for("return document.querySelector('.recorder[data-into=sound] .live')?.dataset.seconds > 3");
        browser.keep_picture(&format!("recording-{width}"));
        thread::sleep(Duration::from_secs(4));
        let altered = browser.run("return document.querySelector('.recorder[data-into=sound] .altered').hidden");
        assert_eq!(altered, true, "the fake microphone changes nothing, so nothing is to be warned of");
        browser.click(".recorder[data-into=sound] .enough");
        browser.wait_for("return document.getElementById('sound').files.length === 1");
        browser.follow("main form > .send button[type=submit]");
        let shown = browser.run(
            "return [...document.querySelectorAll('.figures div')].find(one => one.innerText.includes('LAeq')).querySelector('dd').textContent",
        );
        let shown: f64 = shown.as_str().unwrap().replace('\u{2212}', "-").replace(" dBFS", "").parse().unwrap();
        assert!((shown - level).abs() <= RIGHT, "{shown} instead of {level}");
    }
}

#[test]
fn the_meter_of_a_rung_shows_the_tone_at_its_target() {
    let (house, browser, level) = listening();
    browser.open(&house.at("/ladder"));
    let to = browser.run("return document.querySelector('a[href^=\"/meter?rung=\"]').getAttribute('href')");
    for (width, height) in [(1280, 900), (390, 800)] {
        browser.view(width, height);
        browser.open(&house.at(to.as_str().unwrap()));
        let target = browser.run("return document.getElementById('target').value");
        let target: f64 = target.as_str().unwrap().parse().unwrap();
        // A calibration that puts the tone exactly on the target, then one that puts it 10 dB above.
        for (over, words) in
            [(0.0, "At the target"), (-10.0, "Quieter than the target"), (4.0, "Louder than the target")]
        {
            browser.open(&house.at(to.as_str().unwrap()));
            browser.kind_in("#offset", &format!("{:.2}", target - level + over));
            browser.click("#listen");
            browser.wait_for("return document.querySelector('#picture .live')?.dataset.seconds > 2");
            let second = browser.run("return Number(document.querySelector('#picture .live').dataset.second)");
            assert!((second.as_f64().unwrap() - target - over).abs() <= RIGHT, "{second} instead of {target} + {over}");
            let said = browser.run("return document.getElementById('words').textContent");
            assert!(said.as_str().unwrap().contains(words), "{over}: {said}");
            browser.keep_picture(&format!("meter-{over}-{width}"));
            browser.click("#quit");
            browser.wait_for("return !document.getElementById('listen').hidden");
        }
    }
    // A target without a calibration is refused beside its field, and what was typed stays.
    browser.run("document.getElementById('offset').value = ''");
    browser.click("#listen");
    let said = browser.wait_for("return document.querySelector('.wrong[data-beside=target]')?.textContent");
    assert!(said.as_str().unwrap().contains("a target in dB needs a calibrated device"), "{said}");
    assert_ne!(browser.run("return document.getElementById('target').value"), "");
    assert_eq!(browser.run("return document.activeElement.id"), "target");
}

#[test]
fn what_a_browser_changes_is_said() {
    let (house, browser, _) = listening();
    for (on, items) in [("echoCancellation", 1), ("noiseSuppression", 1), ("autoGainControl", 1), ("", 0), ("all", 3)] {
        browser.open(&house.at("/meter"));
        browser.run(&format!(
            "const own = MediaStreamTrack.prototype.getSettings;
             MediaStreamTrack.prototype.getSettings = function() {{
                 const told = own.call(this);
                 for (const name of ['echoCancellation', 'noiseSuppression', 'autoGainControl'])
                     if (name === '{on}' || '{on}' === 'all') told[name] = true;
                 return told; }}"
        ));
        browser.click("#listen");
        browser.wait_for("return document.querySelector('#picture .live')");
        let shown = browser.run("return [document.querySelector('#meter .altered').hidden, document.querySelectorAll('#meter .altered li:not([hidden])').length]");
        assert_eq!(shown, serde_json::json!([items == 0, items]), "{on}");
        if on == "all" {
            browser.keep_picture("meter-altered");
        }
    }
}

#[test]
fn the_picture_follows_a_sound_within_a_quarter_of_a_second() {
    let (house, browser, _) = listening();
    browser.open(&house.at("/meter"));
    // In place of the microphone a tone of this page, whose beginning is known; from there on all is as with a microphone.
    browser.run(
        "const context = new AudioContext();
         const tone = new OscillatorNode(context, { frequency: 1000 });
         window.gain = new GainNode(context, { gain: 0 });
         const out = new MediaStreamAudioDestinationNode(context);
         tone.connect(window.gain).connect(out); tone.start();
         navigator.mediaDevices.getUserMedia = async () => out.stream;",
    );
    browser.click("#listen");
    browser.wait_for("return document.querySelector('#picture .live')?.dataset.seconds > 1");
    let script = "const done = arguments[arguments.length - 1];
        const now = () => Number(document.querySelector('#picture .live')?.dataset.now ?? -200);
        const quiet = () => new Promise(ready => setTimeout(ready, 1500));
        (async () => { const times = [];
            for (let turn = 0; turn < 9; turn++) {
                window.gain.gain.value = 0; await quiet();
                // A turn begins at another moment of the block each time.
                await new Promise(ready => setTimeout(ready, 37 * turn));
                const before = now(), began = performance.now();
                window.gain.gain.value = 0.2;
                while (now() <= before + 10) await new Promise(ready => setTimeout(ready, 4));
                times.push(performance.now() - began);
            }
            done(times.sort((a, b) => a - b)); })();";
    let times: Vec<f64> =
        browser.run_to_end(script).as_array().unwrap().iter().map(|time| time.as_f64().unwrap()).collect();
    let folder = Path::new(env!("CARGO_TARGET_TMPDIR")).join("pictures");
    std::fs::create_dir_all(&folder).unwrap();
    std::fs::write(folder.join("latency.txt"), format!("milliseconds from a tone to its picture: {times:.0?}\n"))
        .unwrap();
    // The quickest: on a machine that is busy with other things the rest says nothing about this program.
    assert!(times[0] < LATENCY_MS, "{times:?}");
}
