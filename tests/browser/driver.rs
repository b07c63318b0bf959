//! A small WebDriver client (W3C WebDriver, plain HTTP to this computer), and the driver process, ended on drop.

use std::io::{BufRead, BufReader, Read, Write};
use std::net::TcpStream;
use std::process::{Child, Command, Stdio};
use std::thread;
use std::time::Duration;

use serde_json::{Value, json};

/// The key under which WebDriver names an element. W3C WebDriver, section 12.1 (from memory).
const ELEMENT: &str = "element-6066-11e4-a52e-4f735466cecf";

/// A browser with one window.
pub(crate) struct Browser {
    driver: Child,
    port: u16,
    session: String,
}

impl Browser {
    /// A new browser with an empty profile and these further arguments.
    pub(crate) fn new(more: &[&str]) -> Self {
        let mut driver = Command::new("chromedriver")
            .arg("--port=0")
            .stdout(Stdio::piped())
            .stderr(Stdio::null())
            .spawn()
            .expect("chromedriver is not installed: apt-get install chromium chromium-driver");
        let mut said = BufReader::new(driver.stdout.take().unwrap());
        let port = loop {
            let mut line = String::new();
            assert!(said.read_line(&mut line).unwrap() > 0, "the driver ended");
            if let Some(port) = line.split("successfully on port ").nth(1) {
                break port.trim().trim_end_matches('.').parse().unwrap();
            }
        };
        // What the driver says later is read and dropped, so that it is never held up.
        thread::spawn(move || std::io::copy(&mut said, &mut std::io::sink()));
        let mut arguments = vec![
            "--headless=new",
            "--no-sandbox",
            "--disable-dev-shm-usage",
            "--disable-gpu",
            "--no-first-run",
            "--disable-background-networking",
            "--disable-component-update",
            "--disable-sync",
        ];
        arguments.extend(more);
        let mut browser = Self { driver, port, session: String::new() };
        let wanted = json!({"capabilities": {"alwaysMatch": {"browserName": "chrome", "goog:chromeOptions": {"args": arguments}}}});
        let made = browser.ask("POST", "/session", Some(&wanted));
        browser.session = format!("/session/{}", made["sessionId"].as_str().unwrap());
        browser
    }

    fn ask(&self, method: &str, path: &str, body: Option<&Value>) -> Value {
        let mut stream = TcpStream::connect(("127.0.0.1", self.port)).unwrap();
        stream.set_read_timeout(Some(Duration::from_secs(120))).unwrap();
        let body = body.map(Value::to_string).unwrap_or_default();
        let head = format!(
            "{method} {path} HTTP/1.1\r\nHost: 127.0.0.1:{}\r\nContent-Type: application/json\r\nContent-Length: {}\r\nConnection: close\r\n\r\n",
            self.port,
            body.len()
        );
        stream.write_all(head.as_bytes()).unwrap();
        stream.write_all(body.as_bytes()).unwrap();
        let mut reader = BufReader::new(stream);
        let mut length = 0;
        loop {
            let mut line = String::new();
            reader.read_line(&mut line).unwrap();
            if let Some(value) = line.to_ascii_lowercase().strip_prefix("content-length:") {
                length = value.trim().parse().unwrap();
            }
            if line.trim().is_empty() {
                break;
            }
        }
        let mut text = vec![0; length];
        reader.read_exact(&mut text).unwrap();
        let answer: Value = serde_json::from_slice(&text).unwrap();
        let value = answer["value"].clone();
        assert!(value["error"].is_null(), "{method} {path}: {value}");
        value
    }

    fn post(&self, path: &str, body: &Value) -> Value {
        self.ask("POST", &format!("{}{path}", self.session), Some(body))
    }

    /// Opens an address.
    pub(crate) fn open(&self, address: &str) {
        self.post("/url", &json!({ "url": address }));
    }

    /// The address that is open.
    pub(crate) fn address(&self) -> String {
        self.ask("GET", &format!("{}/url", self.session), None).as_str().unwrap().to_owned()
    }

    /// Runs a script and gives what it returns.
    pub(crate) fn run(&self, script: &str) -> Value {
        self.post("/execute/sync", &json!({ "script": script, "args": [] }))
    }

    /// Runs a script that ends by calling its last argument.
    pub(crate) fn run_to_end(&self, script: &str) -> Value {
        self.post("/execute/async", &json!({ "script": script, "args": [] }))
    }

    fn find(&self, css: &str) -> String {
        self.post("/element", &json!({ "using": "css selector", "value": css }))[ELEMENT].as_str().unwrap().to_owned()
    }

    /// Types into an element, or chooses a file in it.
    pub(crate) fn kind_in(&self, css: &str, text: &str) {
        let element = self.find(css);
        self.post(&format!("/element/{element}/value"), &json!({ "text": text }));
    }

    /// Clicks an element.
    pub(crate) fn click(&self, css: &str) {
        let element = self.find(css);
        self.post(&format!("/element/{element}/click"), &json!({}));
    }

    /// Does what leads to another page and waits until that page is there.
    pub(crate) fn go_on(&self, act: impl FnOnce()) {
        self.run("window.hereBefore = true");
        act();
        for _ in 0..600 {
            if self.run("return !window.hereBefore && document.readyState === 'complete'") == true {
                return;
            }
            thread::sleep(Duration::from_millis(50));
        }
        panic!("no other page came: {}", self.address());
    }

    /// Clicks what leads to another page.
    pub(crate) fn follow(&self, css: &str) {
        self.go_on(|| self.click(css));
    }

    /// Presses keys, one after the other, on what has the focus.
    pub(crate) fn press(&self, keys: &str) {
        let strokes: Vec<Value> = keys
            .chars()
            .flat_map(|key| {
                [
                    json!({"type": "keyDown", "value": key.to_string()}),
                    json!({"type": "keyUp", "value": key.to_string()}),
                ]
            })
            .collect();
        self.post("/actions", &json!({"actions": [{"type": "key", "id": "keys", "actions": strokes}]}));
    }

    /// The text a reader sees.
    pub(crate) fn text(&self) -> String {
        self.run("return document.body.innerText").as_str().unwrap().to_owned()
    }

    /// Asks the browser something in its own protocol (Chrome DevTools Protocol).
    pub(crate) fn cdp(&self, command: &str, params: &Value) -> Value {
        self.post("/goog/cdp/execute", &json!({"cmd": command, "params": params}))
    }

    /// Opens a second window and goes there.
    pub(crate) fn open_window(&self) {
        let made = self.post("/window/new", &json!({ "type": "tab" }));
        self.post("/window", &json!({ "handle": made["handle"] }));
    }

    /// Goes to the window that was opened so many before.
    pub(crate) fn to_window(&self, number: usize) {
        let all = self.ask("GET", &format!("{}/window/handles", self.session), None);
        self.post("/window", &json!({ "handle": all[number] }));
    }

    /// Sets the width and height of the view, as on a telephone below 600 points.
    pub(crate) fn view(&self, width: u32, height: u32) {
        let params = json!({"width": width, "height": height, "deviceScaleFactor": 1, "mobile": width < 600});
        self.cdp("Emulation.setDeviceMetricsOverride", &params);
    }

    /// Shows the page as for that medium (`screen`, `print`) and with these preferences, such as `prefers-color-scheme`.
    pub(crate) fn prefer(&self, medium: &str, features: &[(&str, &str)]) {
        let features: Vec<Value> = features.iter().map(|(name, value)| json!({"name": name, "value": value})).collect();
        let params = json!({"media": medium, "features": features});
        self.post("/goog/cdp/execute", &json!({"cmd": "Emulation.setEmulatedMedia", "params": params}));
    }

    /// Waits until a script returns something that is true.
    #[track_caller]
    pub(crate) fn wait_for(&self, script: &str) -> Value {
        for _ in 0..600 {
            let found = self.run(script);
            if !found.is_null() && found != false && found != "" {
                return found;
            }
            thread::sleep(Duration::from_millis(50));
        }
        panic!("this never came true: {script}\n{}", self.text());
    }

    /// Prints the page on paper of that size in centimetres, as a PDF in base64.
    pub(crate) fn print(&self, width: f64, height: f64) -> String {
        let page = json!({"page": {"width": width, "height": height}, "background": true, "shrinkToFit": false});
        self.post("/print", &page).as_str().unwrap().to_owned()
    }

    /// Keeps a picture of the whole page beside the build, to be looked at.
    pub(crate) fn keep_picture(&self, name: &str) {
        let params = json!({"format": "png", "captureBeyondViewport": true});
        let shot = self.cdp("Page.captureScreenshot", &params);
        let folder = std::path::Path::new(env!("CARGO_TARGET_TMPDIR")).join("pictures");
        std::fs::create_dir_all(&folder).unwrap();
        std::fs::write(folder.join(format!("{name}.png")), from_base64(shot["data"].as_str().unwrap())).unwrap();
    }
}

impl Drop for Browser {
    fn drop(&mut self) {
        if !self.session.is_empty() && !thread::panicking() {
            self.ask("DELETE", &self.session.clone(), None);
        }
        // Ends the browser as well: the driver closes what it opened.
        let _gone = Command::new("kill").arg(self.driver.id().to_string()).status();
        let _gone = self.driver.wait();
    }
}

/// Bytes from base64 (RFC 4648, section 4).
pub(crate) fn from_base64(text: &str) -> Vec<u8> {
    const SIGNS: &str = "ABCDEFGHIJKLMNOPQRSTUVWXYZabcdefghijklmnopqrstuvwxyz0123456789+/";
    let mut bytes = Vec::new();
    let (mut bits, mut count) = (0_u32, 0);
    for value in text.chars().filter_map(|sign| SIGNS.find(sign)) {
        bits = (bits << 6 | u32::try_from(value).unwrap()) & 0xFF_FFFF;
        count += 6;
        if count >= 8 {
            count -= 8;
            bytes.push(u8::try_from(bits >> count & 0xFF).unwrap());
        }
    }
    bytes
}
