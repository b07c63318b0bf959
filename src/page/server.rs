//! The loopback server; the only file that opens a port. Every connection has a thread of its own with a limit on how long
//! it may say nothing, so that an idle or slow one holds up nobody, and a fault in one request ends that request only.
//!
//! HTTP/1.1 as browsers speak it (RFC 9112): a head, a body of known length, connections kept open between requests.

use std::io::{self, Read, Write};
use std::net::{Ipv4Addr, Shutdown, TcpListener, TcpStream};
use std::panic::{AssertUnwindSafe, catch_unwind};
use std::sync::Arc;
use std::sync::atomic::{AtomicBool, AtomicUsize, Ordering};
use std::thread;
use std::time::Duration;

use super::answer::Answer;
use super::asked::{Asked, Method};
use super::frame;
use super::gate::{Gate, Verdict, Visitor};

/// Largest body, in bytes: a photo of 100 megapixels or an hour of compressed sound.
const BODY_LIMIT: usize = 200 << 20;
/// Largest head, in bytes, and most header lines.
const HEAD_LIMIT: usize = 32 << 10;
const HEADERS: usize = 64;
/// Most connections at once; more are closed at once.
const CONNECTIONS: usize = 512;
/// Longest silence of a connection.
const SILENCE: Duration = Duration::from_secs(30);
/// Longest silence of one that was told to end.
const LAST_WORDS: Duration = Duration::from_secs(2);
/// Longest wait, when stopping, for what is under way: this many looks, so far apart.
const LOOKS: u32 = 100;
const BETWEEN_LOOKS: Duration = Duration::from_millis(50);

/// A server that listens.
pub(super) struct Listening {
    listener: TcpListener,
    stopped: Arc<AtomicBool>,
    /// The port.
    pub(super) port: u16,
}

/// What answers a request that came in.
pub(super) type Answers = dyn Fn(&Asked) -> Answer + Send + Sync;

/// What a connection needs.
struct House {
    gate: Gate,
    answers: Box<Answers>,
    open: AtomicUsize,
    busy: AtomicUsize,
}

/// The head of a request.
struct Head {
    method: String,
    address: String,
    headers: Vec<(String, String)>,
}

impl Listening {
    /// Listens on this computer only; port 0 takes one that is free.
    pub(super) fn on(port: u16) -> io::Result<Self> {
        let listener = TcpListener::bind((Ipv4Addr::LOCALHOST, port))?;
        let port = listener.local_addr()?.port();
        Ok(Self { listener, stopped: Arc::new(AtomicBool::new(false)), port })
    }

    /// What stops it, from any thread.
    pub(super) fn stopper(&self) -> impl Fn() + Send + 'static {
        let (stopped, port) = (Arc::clone(&self.stopped), self.port);
        move || {
            stopped.store(true, Ordering::SeqCst);
            // Wakes the loop that waits for the next connection.
            let _woken = TcpStream::connect((Ipv4Addr::LOCALHOST, port));
        }
    }

    /// Answers until it is stopped, then waits for what is under way.
    pub(super) fn run(&self, gate: Gate, answers: Box<Answers>) {
        let house = Arc::new(House { gate, answers, open: AtomicUsize::new(0), busy: AtomicUsize::new(0) });
        for stream in self.listener.incoming() {
            if self.stopped.load(Ordering::SeqCst) {
                break;
            }
            let Ok(stream) = stream else { continue };
            if house.open.fetch_add(1, Ordering::SeqCst) >= CONNECTIONS {
                house.open.fetch_sub(1, Ordering::SeqCst);
                continue;
            }
            let guest = Arc::clone(&house);
            let started = thread::Builder::new().spawn(move || {
                // Whoever is at the other end may go at any time; nothing is lost by that.
                let _gone = converse(&stream, &guest).and_then(|()| part(&stream));
                guest.open.fetch_sub(1, Ordering::SeqCst);
            });
            if started.is_err() {
                house.open.fetch_sub(1, Ordering::SeqCst);
            }
        }
        for _ in 0..LOOKS {
            if house.busy.load(Ordering::SeqCst) == 0 {
                break;
            }
            thread::sleep(BETWEEN_LOOKS);
        }
    }
}

/// Answers one request after the other on a connection.
fn converse(mut stream: &TcpStream, house: &House) -> io::Result<()> {
    stream.set_read_timeout(Some(SILENCE))?;
    stream.set_write_timeout(Some(SILENCE))?;
    stream.set_nodelay(true)?;
    let mut read = Vec::new();
    loop {
        let (head, used) = match head(&mut stream, &mut read)? {
            Some(Ok(found)) => found,
            Some(Err(status)) => {
                return send(&mut stream, &Answer::refusal(status, frame::plain("no-form")), None, true, false);
            }
            None => return Ok(()),
        };
        read.drain(..used);
        house.busy.fetch_add(1, Ordering::SeqCst);
        let said = answer(&mut stream, &head, &mut read, house);
        house.busy.fetch_sub(1, Ordering::SeqCst);
        if said? {
            return Ok(());
        }
    }
}

/// Ends a connection so that the answer arrives even where more was being sent than was read.
fn part(mut stream: &TcpStream) -> io::Result<()> {
    stream.shutdown(Shutdown::Write)?;
    stream.set_read_timeout(Some(LAST_WORDS))?;
    io::copy(&mut Read::by_ref(&mut stream).take(BODY_LIMIT as u64), &mut io::sink()).map(|_| ())
}

/// Reads until a head is whole; its parts and its length. `None` at the end of the connection.
fn head(stream: &mut &TcpStream, read: &mut Vec<u8>) -> io::Result<Option<Result<(Head, usize), u16>>> {
    let mut piece = [0; 8 << 10];
    loop {
        let mut headers = [httparse::EMPTY_HEADER; HEADERS];
        let mut request = httparse::Request::new(&mut headers);
        match request.parse(read) {
            Ok(httparse::Status::Complete(used)) => {
                let text = |bytes: &[u8]| String::from_utf8_lossy(bytes).into_owned();
                let head = Head {
                    method: request.method.unwrap_or_default().to_owned(),
                    address: request.path.unwrap_or_default().to_owned(),
                    headers: request
                        .headers
                        .iter()
                        .map(|header| (header.name.to_ascii_lowercase(), text(header.value)))
                        .collect(),
                };
                return Ok(Some(Ok((head, used))));
            }
            Ok(httparse::Status::Partial) if read.len() < HEAD_LIMIT => {}
            Ok(httparse::Status::Partial) => return Ok(Some(Err(431))),
            Err(_) => return Ok(Some(Err(400))),
        }
        match stream.read(&mut piece)? {
            0 => return Ok(None),
            count => read.extend_from_slice(&piece[..count]),
        }
    }
}

impl Head {
    fn header(&self, name: &str) -> Option<&str> {
        self.headers.iter().find(|(known, _)| known == name).map(|(_, value)| value.as_str())
    }
}

/// Judges a request, reads its body, answers it. True when the connection ends with it.
fn answer(stream: &mut &TcpStream, head: &Head, read: &mut Vec<u8>, house: &House) -> io::Result<bool> {
    let refuse = |stream: &mut &TcpStream, status, message| {
        send(stream, &Answer::refusal(status, frame::plain(message)), None, true, false).map(|()| true)
    };
    let method = match head.method.as_str() {
        "GET" | "HEAD" => Method::Get,
        "POST" | "PUT" => Method::Post,
        _ => return refuse(stream, 405, "method"),
    };
    let key = head.address.split_once("?key=").map(|(_, key)| key.split('&').next().unwrap_or_default());
    let visitor = Visitor {
        host: head.header("host"),
        origin: head.header("origin"),
        from: head.header("sec-fetch-site"),
        cookies: head.header("cookie"),
        key,
        changes: method == Method::Post,
    };
    let cookie = match house.gate.judge(&visitor) {
        Verdict::In => None,
        Verdict::InWithCookie => Some(house.gate.cookie()),
        Verdict::WrongHost => return refuse(stream, 403, "wrong-host"),
        Verdict::WrongOrigin => return refuse(stream, 403, "wrong-origin"),
        Verdict::NoKey => return refuse(stream, 403, "no-key"),
    };
    if head.header("transfer-encoding").is_some() {
        return refuse(stream, 411, "no-form");
    }
    let length = match head.header("content-length").map(str::parse::<usize>) {
        None => 0,
        Some(Ok(length)) if length <= BODY_LIMIT => length,
        Some(Ok(_)) => return refuse(stream, 413, "too-large"),
        Some(Err(_)) => return refuse(stream, 400, "no-form"),
    };
    if head.header("expect").is_some_and(|expected| expected.eq_ignore_ascii_case("100-continue")) {
        stream.write_all(b"HTTP/1.1 100 Continue\r\n\r\n")?;
    }
    let already = length.min(read.len());
    let mut body: Vec<u8> = read.drain(..already).collect();
    let missing = length - body.len();
    Read::by_ref(stream).take(missing as u64).read_to_end(&mut body)?;
    if body.len() < length {
        return refuse(stream, 400, "cut-off");
    }
    let kind = head.header("content-type").unwrap_or_default();
    let answer = match Asked::new(method, &head.address, kind, body) {
        Ok(asked) => catch_unwind(AssertUnwindSafe(|| (house.answers)(&asked)))
            .unwrap_or_else(|_| Answer::refusal(500, frame::plain("fault"))),
        Err(_) => Answer::refusal(400, frame::plain("no-form")),
    };
    let last = head.header("connection").is_some_and(|wish| wish.eq_ignore_ascii_case("close"));
    send(stream, &answer, cookie.as_deref(), last, head.method == "HEAD")?;
    Ok(last)
}

fn send(stream: &mut &TcpStream, answer: &Answer, cookie: Option<&str>, last: bool, head_only: bool) -> io::Result<()> {
    let mut text = format!("HTTP/1.1 {} {}\r\n", answer.status, reason(answer.status));
    for (name, value) in answer.headers() {
        text.push_str(&format!("{name}: {value}\r\n"));
    }
    if let Some(cookie) = cookie {
        text.push_str(&format!("Set-Cookie: {cookie}\r\n"));
    }
    if last {
        text.push_str("Connection: close\r\n");
    }
    text.push_str(&format!("Content-Type: {}\r\nContent-Length: {}\r\n\r\n", answer.kind, answer.body.len()));
    let mut bytes = text.into_bytes();
    if !head_only {
        bytes.extend_from_slice(&answer.body);
    }
    stream.write_all(&bytes)?;
    stream.flush()
}

/// The words beside a status; RFC 9110, section 15.
const fn reason(status: u16) -> &'static str {
    match status {
        200 => "OK",
        303 => "See Other",
        400 => "Bad Request",
        403 => "Forbidden",
        404 => "Not Found",
        405 => "Method Not Allowed",
        411 => "Length Required",
        413 => "Content Too Large",
        422 => "Unprocessable Content",
        431 => "Request Header Fields Too Large",
        _ => "Internal Server Error",
    }
}

#[cfg(test)]
mod tests {
    use std::io::{Read, Write};
    use std::net::TcpStream;
    use std::thread;

    use maud::html;

    use super::{Answer, BODY_LIMIT, Gate, Listening};

    /// Sends a request with the key and gives the status and what came with it.
    fn ask(port: u16, line: &str, more: &str) -> (u16, String) {
        let mut stream = TcpStream::connect(("127.0.0.1", port)).unwrap();
        let head = format!(
            "{line} HTTP/1.1\r\nHost: 127.0.0.1:{port}\r\nCookie: stillroom=k\r\n{more}Connection: close\r\n\r\n"
        );
        stream.write_all(head.as_bytes()).unwrap();
        let mut text = String::new();
        stream.read_to_string(&mut text).unwrap();
        (text.split(' ').nth(1).unwrap().parse().unwrap(), text)
    }

    #[test]
    fn a_panic_ends_its_own_request_only_and_a_stop_ends_all() {
        let listening = Listening::on(0).unwrap();
        let (port, stop) = (listening.port, listening.stopper());
        let running = thread::spawn(move || {
            listening.run(
                Gate::new(port, "k".to_owned()),
                Box::new(|asked| {
                    assert!(asked.path != "/fault", "a fault that is meant");
                    Answer::page(html! { (asked.path) })
                }),
            );
        });
        // On one connection that stays open, and on others: before, at and after the fault.
        let mut kept = TcpStream::connect(("127.0.0.1", port)).unwrap();
        for (path, status) in [("/a", "200"), ("/fault", "500"), ("/b", "200")] {
            let head = format!("GET {path} HTTP/1.1\r\nHost: 127.0.0.1:{port}\r\nCookie: stillroom=k\r\n\r\n");
            kept.write_all(head.as_bytes()).unwrap();
            let mut said = String::new();
            while said.split_once("\r\n\r\n").is_none_or(|(_, body)| body.is_empty()) {
                let mut piece = [0; 4096];
                let count = kept.read(&mut piece).unwrap();
                assert!(count > 0, "{path}: the connection ended");
                said.push_str(&String::from_utf8_lossy(&piece[..count]));
            }
            assert!(said.starts_with(&format!("HTTP/1.1 {status}")), "{path}: {said}");
        }
        let (status, text) = ask(port, "GET /fault", "");
        assert!(status == 500 && text.contains("Nothing that was stored is lost"), "{text}");
        assert_eq!(ask(port, "GET /after", "").0, 200);
        stop();
        running.join().unwrap();
        assert!(TcpStream::connect(("127.0.0.1", port)).is_err());
    }

    #[test]
    fn a_body_that_is_too_large_is_refused_in_words() {
        let listening = Listening::on(0).unwrap();
        let (port, stop) = (listening.port, listening.stopper());
        let gate = Gate::new(port, "k".to_owned());
        let running = thread::spawn(move || listening.run(gate, Box::new(|_| Answer::page(html! { "no" }))));
        let (status, text) = ask(port, "POST /sound", &format!("Content-Length: {}\r\n", BODY_LIMIT + 1));
        assert!(status == 413 && text.contains("This file is too large. Send at most 200 MB."), "{text}");
        stop();
        running.join().unwrap();
    }
}
