//! The file for a phone in Firefox, through its own remote protocol (Marionette: JSON with its length before it), so that
//! nothing but Debian's `firefox-esr` is needed.

use std::io::{Read, Write};
use std::net::TcpStream;
use std::path::Path;
use std::process::{Child, Command, Stdio};
use std::thread;
use std::time::{Duration, Instant};

use serde_json::{Value, json};

use super::house::file;
use super::phone::template;

const PATIENCE: Duration = Duration::from_secs(120);

struct Firefox {
    child: Child,
    line: TcpStream,
    read: Vec<u8>,
    asked: u64,
}

impl Firefox {
    fn new(profile: &Path, settings: &str) -> Self {
        std::fs::create_dir_all(profile).unwrap();
        let port = std::net::TcpListener::bind("127.0.0.1:0").unwrap().local_addr().unwrap().port();
        let user = format!(
            "user_pref('marionette.port', {port});\nuser_pref('browser.shell.checkDefaultBrowser', false);\n\
             user_pref('datareporting.policy.dataSubmissionEnabled', false);\nuser_pref('app.normandy.enabled', false);\n{settings}\n"
        );
        std::fs::write(profile.join("user.js"), user).unwrap();
        let child = Command::new("firefox-esr")
            .args(["--headless", "--marionette", "--no-remote", "--profile"])
            .arg(profile)
            .stdout(Stdio::null())
            .stderr(Stdio::null())
            .spawn()
            .expect("firefox-esr is not installed: apt-get install firefox-esr");
        let begun = Instant::now();
        let line = loop {
            match TcpStream::connect(("127.0.0.1", port)) {
                Ok(line) => break line,
                Err(_) => assert!(begun.elapsed() < PATIENCE, "Firefox does not listen"),
            }
            thread::sleep(Duration::from_millis(100));
        };
        line.set_read_timeout(Some(PATIENCE)).unwrap();
        let mut firefox = Self { child, line, read: Vec::new(), asked: 0 };
        firefox.message();
        firefox.ask("WebDriver:NewSession", &json!({}));
        firefox
    }

    fn message(&mut self) -> Value {
        loop {
            if let Some(at) = self.read.iter().position(|byte| *byte == b':') {
                let length: usize = std::str::from_utf8(&self.read[..at]).unwrap().parse().unwrap();
                if self.read.len() > at + length {
                    let message = serde_json::from_slice(&self.read[at + 1..=at + length]).unwrap();
                    self.read.drain(..=at + length);
                    return message;
                }
            }
            let mut piece = [0; 64 << 10];
            let count = self.line.read(&mut piece).unwrap();
            assert!(count > 0, "Firefox has ended");
            self.read.extend_from_slice(&piece[..count]);
        }
    }

    fn ask(&mut self, command: &str, what: &Value) -> Value {
        self.asked += 1;
        let text = json!([0, self.asked, command, what]).to_string();
        self.line.write_all(format!("{}:{text}", text.len()).as_bytes()).unwrap();
        let answer = self.message();
        assert!(answer[2].is_null(), "{command}: {}", answer[2]);
        answer[3].clone()
    }

    fn run(&mut self, script: &str) -> Value {
        self.ask("WebDriver:ExecuteScript", &json!({"script": script, "args": []}))["value"].clone()
    }

    fn text(&mut self) -> String {
        self.run("return document.body.innerText").as_str().unwrap().to_owned()
    }

    fn element(&mut self, css: &str) -> String {
        let found = self.ask("WebDriver:FindElement", &json!({"using": "css selector", "value": css}));
        found["value"].as_object().unwrap().values().next().unwrap().as_str().unwrap().to_owned()
    }

    fn kind_in(&mut self, css: &str, text: &str) {
        let element = self.element(css);
        self.ask("WebDriver:ElementSendKeys", &json!({"id": element, "text": text}));
    }

    fn turn(&mut self) -> u64 {
        self.run("return Number(document.documentElement.dataset.turn || 0)").as_u64().unwrap_or(0)
    }

    fn wait(&mut self, before: u64) {
        let begun = Instant::now();
        while self.turn() <= before {
            assert!(begun.elapsed() < PATIENCE, "no page came: {}", self.text());
            thread::sleep(Duration::from_millis(50));
        }
    }

    fn open(&mut self) {
        self.ask("WebDriver:Navigate", &json!({"url": format!("file://{}", template())}));
        self.wait(0);
    }

    fn follow(&mut self, css: &str) {
        let before = self.turn();
        let element = self.element(css);
        self.ask("WebDriver:ElementClick", &json!({"id": element}));
        self.wait(before);
    }

    fn go(&mut self, address: &str) {
        let before = self.turn();
        self.run(&format!(
            "const to = document.createElement('a'); to.href = '{address}'; document.body.append(to); to.click()"
        ));
        self.wait(before);
    }

    /// Ends it as a person does, so that it writes what it has promised to keep.
    fn quit(mut self) {
        self.ask("Marionette:Quit", &json!({"flags": ["eAttemptQuit"]}));
        self.child.wait().unwrap();
    }
}

impl Drop for Firefox {
    fn drop(&mut self) {
        let _gone = self.child.kill();
        let _gone = self.child.wait();
    }
}

#[test]
fn firefox_does_a_look_with_photo_and_sound_and_keeps_it() {
    let folder = tempfile::tempdir().unwrap();
    let mut firefox = Firefox::new(folder.path(), "");
    firefox.open();
    let text = firefox.text();
    assert!(text.contains("nowhere else") && !text.contains("looks like a private window"), "{text}");
    firefox.kind_in("#alias", "clover");
    firefox.follow("form[action='/case/new'] button");
    firefox.go("/room");
    firefox.kind_in("#place", "window table");
    firefox.follow("main form[action='/room'] button[type=submit]");
    while firefox.run("return location.hash").as_str().unwrap().contains("/room/walk/") {
        firefox.run(
            "document.querySelectorAll('.question').forEach(question => {
            const count = question.querySelector('input[inputmode=numeric]');
            if (count) { count.value = 4; } else { question.querySelector('input[type=radio]').checked = true; } });",
        );
        firefox.follow("main button[type=submit]");
    }
    firefox.kind_in("#photo", &file("demo/photo-before-1.jpg"));
    firefox.kind_in("#sound", &file("demo/room-before.flac"));
    firefox.kind_in("#voice", &file("demo/voice.flac"));
    firefox.follow("main button[type=submit]");
    let text = firefox.text();
    assert!(text.contains("What to move first"), "{text}");
    firefox.quit();
    let mut firefox = Firefox::new(folder.path(), "");
    firefox.open();
    let text = firefox.text();
    assert!(text.contains("clover") && text.contains("window table"), "{text}");
}

#[test]
fn firefox_tells_of_a_private_window_beforehand() {
    let folder = tempfile::tempdir().unwrap();
    let mut firefox = Firefox::new(folder.path(), "user_pref('browser.privatebrowsing.autostart', true);");
    firefox.open();
    let text = firefox.text();
    assert!(text.contains("looks like a private window"), "{text}");
}
