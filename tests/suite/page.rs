//! The local page from outside: who is let in, what is refused, what holds it up. A real process, spoken to byte by byte.

mod door;
mod forms;
mod meter;
mod refused;
mod sittings;

use std::io::{BufRead, BufReader, Read, Write};
use std::net::TcpStream;
use std::path::Path;
use std::process::{Child, Command, Stdio};
use std::time::Duration;

/// A running page; it is stopped when dropped.
pub(crate) struct Page {
    child: Child,
    /// Its port.
    pub(crate) port: u16,
    /// Its key.
    pub(crate) key: String,
}

/// What came back.
#[derive(Debug)]
pub(crate) struct Reply {
    pub(crate) status: u16,
    pub(crate) head: String,
    pub(crate) body: String,
}

impl Page {
    /// Starts a page in a folder, with its walks kept there too.
    pub(crate) fn start(folder: &Path, words: &[&str]) -> Self {
        let mut child = Command::new(env!("CARGO_BIN_EXE_stillroom"))
            .arg("serve")
            .args(words)
            .current_dir(folder)
            .env("XDG_STATE_HOME", folder.join("state"))
            .env("LC_ALL", "C")
            .stdout(Stdio::piped())
            .stderr(Stdio::null())
            .spawn()
            .unwrap();
        let mut first = String::new();
        BufReader::new(child.stdout.take().unwrap()).read_line(&mut first).unwrap();
        let rest = first.trim().strip_prefix("http://127.0.0.1:").expect(&first);
        let (port, key) = rest.split_once("/?key=").unwrap();
        Self { child, port: port.parse().unwrap(), key: key.to_owned() }
    }

    /// The headers of someone who came in.
    pub(crate) fn known(&self) -> String {
        format!("Host: 127.0.0.1:{}\r\nCookie: stillroom={}\r\n", self.port, self.key)
    }

    /// A connection.
    pub(crate) fn connect(&self) -> TcpStream {
        let stream = TcpStream::connect(("127.0.0.1", self.port)).unwrap();
        stream.set_read_timeout(Some(Duration::from_secs(60))).unwrap();
        stream
    }

    /// Sends a request with these head lines and that body.
    pub(crate) fn ask(&self, line: &str, head: &str, body: &[u8]) -> Reply {
        let mut stream = self.connect();
        let length = if body.is_empty() { String::new() } else { format!("Content-Length: {}\r\n", body.len()) };
        // A server that refuses early may close before it has read everything; what it answered is still there.
        let _early = stream
            .write_all(format!("{line} HTTP/1.1\r\n{head}{length}Connection: close\r\n\r\n").as_bytes())
            .and_then(|()| stream.write_all(body));
        read(stream)
    }

    /// Shows a page to someone who came in.
    pub(crate) fn get(&self, path: &str) -> Reply {
        self.ask(&format!("GET {path}"), &self.known(), b"")
    }

    /// Sends a form of pairs from someone who came in.
    pub(crate) fn post(&self, path: &str, pairs: &[(&str, &str)]) -> Reply {
        let body: String = form_urlencoded::Serializer::new(String::new()).extend_pairs(pairs).finish();
        let head = format!("{}Content-Type: application/x-www-form-urlencoded\r\n", self.known());
        self.ask(&format!("POST {path}"), &head, body.as_bytes())
    }

    /// Kills the process, as a power cut would.
    pub(crate) fn kill(mut self) {
        self.child.kill().unwrap();
        self.child.wait().unwrap();
    }

    /// Asks the process to stop and gives its exit code.
    pub(crate) fn stop(mut self) -> Option<i32> {
        Command::new("kill").arg(self.child.id().to_string()).status().unwrap();
        self.child.wait().unwrap().code()
    }
}

impl Drop for Page {
    fn drop(&mut self) {
        let _gone = self.child.kill();
        let _gone = self.child.wait();
    }
}

/// Reads a reply to its end.
pub(crate) fn read(mut stream: TcpStream) -> Reply {
    let mut bytes = Vec::new();
    // A connection that was reset after the answer still gave the answer.
    let _reset = stream.read_to_end(&mut bytes);
    let text = String::from_utf8_lossy(&bytes).into_owned();
    let (head, body) = text.split_once("\r\n\r\n").unwrap_or((&text, ""));
    let status = head.split(' ').nth(1).and_then(|status| status.parse().ok()).unwrap_or(0);
    Reply { status, head: head.to_owned(), body: body.to_owned() }
}
