//! The loopback server; the only file that names its library. Every request has a thread of its own, so that an idle or
//! slow connection holds up nobody, and a fault in one ends that one only.

use std::io::{Cursor, Read};
use std::net::{Ipv4Addr, SocketAddr};
use std::panic::{AssertUnwindSafe, catch_unwind};
use std::sync::Arc;
use std::sync::atomic::{AtomicUsize, Ordering};
use std::thread;

use tiny_http::{Header, Request, Response, Server};

use super::answer::Answer;
use super::asked::{Asked, Method};
use super::desk::Desk;
use super::gate::{Gate, Verdict, Visitor};
use super::{frame, route};

/// Largest body, in bytes: a photo of 100 megapixels or an hour of compressed sound.
pub(super) const BODY_LIMIT: u64 = 200 << 20;
/// Requests worked on at once; more are asked to try again.
const AT_ONCE: usize = 128;

/// A server that listens.
pub(super) struct Listening {
    server: Arc<Server>,
    /// The port.
    pub(super) port: u16,
}

/// Stops a server from another thread.
#[derive(Clone)]
pub(super) struct Stopper(Arc<Server>);

impl Stopper {
    /// No request is taken any more.
    pub(super) fn stop(&self) {
        self.0.unblock();
    }
}

impl Listening {
    /// Listens on this computer only; port 0 takes one that is free.
    pub(super) fn on(port: u16) -> Result<Self, String> {
        let address = SocketAddr::from((Ipv4Addr::LOCALHOST, port));
        let server = Server::http(address).map_err(|error| error.to_string())?;
        let port = server.server_addr().to_ip().map_or(port, |address| address.port());
        Ok(Self { server: Arc::new(server), port })
    }

    /// Stops it.
    pub(super) fn stopper(&self) -> Stopper {
        Stopper(Arc::clone(&self.server))
    }

    /// Answers until it is stopped, then waits for what is under way.
    pub(super) fn run(&self, gate: &Gate, desk: &Desk) {
        let busy = AtomicUsize::new(0);
        thread::scope(|scope| {
            while let Ok(request) = self.server.recv() {
                if busy.fetch_add(1, Ordering::SeqCst) >= AT_ONCE {
                    busy.fetch_sub(1, Ordering::SeqCst);
                    send(request, &Answer::refusal(503, frame::plain("busy")), None);
                    continue;
                }
                let busy = &busy;
                scope.spawn(move || {
                    serve(request, gate, desk);
                    busy.fetch_sub(1, Ordering::SeqCst);
                });
            }
        });
    }
}

fn serve(mut request: Request, gate: &Gate, desk: &Desk) {
    let (answer, cookie) = match judged(&mut request, gate) {
        Err(refused) => (refused, None),
        Ok((asked, cookie)) => {
            let done = catch_unwind(AssertUnwindSafe(|| route::answer(&asked, desk)));
            (done.unwrap_or_else(|_| Answer::refusal(500, frame::plain("fault"))), cookie)
        }
    };
    send(request, &answer, cookie);
}

/// The request, read whole, once the door lets it in; with the cookie to take along.
fn judged(request: &mut Request, gate: &Gate) -> Result<(Asked, Option<String>), Answer> {
    let refuse = |status, message| Err(Answer::refusal(status, frame::plain(message)));
    let header = |name: &'static str| {
        request.headers().iter().find(|header| header.field.equiv(name)).map(|header| header.value.as_str().to_owned())
    };
    let method = match request.method() {
        tiny_http::Method::Get | tiny_http::Method::Head => Method::Get,
        tiny_http::Method::Post | tiny_http::Method::Put => Method::Post,
        _ => return refuse(405, "method"),
    };
    let address = request.url().to_owned();
    let (host, origin, from, cookies) = (header("Host"), header("Origin"), header("Sec-Fetch-Site"), header("Cookie"));
    let kind = header("Content-Type").unwrap_or_default();
    let key = address.split_once("?key=").map(|(_, key)| key.split('&').next().unwrap_or_default().to_owned());
    let visitor = Visitor {
        host: host.as_deref(),
        origin: origin.as_deref(),
        from: from.as_deref(),
        cookies: cookies.as_deref(),
        key: key.as_deref(),
        changes: method == Method::Post,
    };
    let cookie = match gate.judge(&visitor) {
        Verdict::In => None,
        Verdict::InWithCookie => Some(gate.cookie()),
        Verdict::WrongHost => return refuse(403, "wrong-host"),
        Verdict::WrongOrigin => return refuse(403, "wrong-origin"),
        Verdict::NoKey => return refuse(403, "no-key"),
    };
    if request.body_length().is_some_and(|length| length as u64 > BODY_LIMIT) {
        return refuse(413, "too-large");
    }
    let mut body = Vec::new();
    if method == Method::Post {
        let read = request.as_reader().take(BODY_LIMIT + 1).read_to_end(&mut body);
        if read.is_err() {
            return refuse(400, "cut-off");
        }
        if body.len() as u64 > BODY_LIMIT {
            return refuse(413, "too-large");
        }
    }
    match Asked::new(method, &address, &kind, body) {
        Ok(asked) => Ok((asked, cookie)),
        Err(_) => refuse(400, "no-form"),
    }
}

fn send(request: Request, answer: &Answer, cookie: Option<String>) {
    let mut headers = answer.headers();
    headers.push(("Content-Type", answer.kind.to_owned()));
    headers.extend(cookie.map(|cookie| ("Set-Cookie", cookie)));
    let headers: Vec<Header> =
        headers.iter().filter_map(|(name, value)| Header::from_bytes(name.as_bytes(), value.as_bytes()).ok()).collect();
    let body = Cursor::new(answer.body.clone());
    let response = Response::new(answer.status.into(), headers, body, Some(answer.body.len()), None);
    // Whoever asked may be gone; nothing is lost by that.
    let _gone = request.respond(response);
}
