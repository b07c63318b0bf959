//! The door: key, cookie, host, origin, size, and nobody held up by anybody.

use std::io::{Read, Write};

use super::{Page, read};

fn page() -> (tempfile::TempDir, Page) {
    let folder = tempfile::tempdir().unwrap();
    let page = Page::start(folder.path(), &[]);
    (folder, page)
}

#[test]
fn the_key_lets_in_and_brings_the_cookie() {
    let (_folder, page) = page();
    let host = format!("Host: 127.0.0.1:{}\r\n", page.port);
    let first = page.ask(&format!("GET /?key={}", page.key), &host, b"");
    assert_eq!(first.status, 200);
    assert!(
        first.head.contains(&format!("Set-Cookie: stillroom={}", page.key)) && first.head.contains("SameSite=Strict")
    );
    assert_eq!(page.get("/").status, 200);
}

#[test]
fn nobody_comes_in_without_key_or_by_another_name_or_from_another_page() {
    let (_folder, page) = page();
    let host = format!("Host: 127.0.0.1:{}\r\n", page.port);
    let cookie = format!("Cookie: stillroom={}\r\n", page.key);
    assert_eq!(page.ask("GET /", &host, b"").status, 403);
    assert_eq!(page.ask("GET /?key=0", &host, b"").status, 403);
    assert_eq!(page.ask("GET /", &format!("Host: evil.example\r\n{cookie}"), b"").status, 403);
    let foreign = format!("{host}{cookie}Origin: http://evil.example\r\nContent-Type: text/plain\r\n");
    assert_eq!(page.ask("POST /case/new", &foreign, b"alias=x").status, 403);
    let framed = format!("{host}{cookie}Sec-Fetch-Site: cross-site\r\n");
    assert_eq!(page.ask("POST /case/new", &framed, b"").status, 403);
}

#[test]
fn every_page_forbids_what_is_not_from_here() {
    let (_folder, page) = page();
    for path in [
        "/",
        "/room",
        "/sound",
        "/photo",
        "/practice",
        "/papers",
        "/papers/photo-guide",
        "/ladder",
        "/meter",
        "/practice/sample",
        "/room/change",
        "/nowhere",
    ] {
        let reply = page.get(path);
        assert!(reply.head.contains("Content-Security-Policy: default-src 'none'"), "{path}");
        assert!(reply.head.contains("X-Content-Type-Options: nosniff"), "{path}");
        assert!(!reply.body.contains("://"), "{path}");
    }
}

#[test]
fn every_link_of_a_page_answers_and_none_leads_elsewhere() {
    let folder = tempfile::tempdir().unwrap();
    assert!(crate::commands::stillroom(folder.path(), &["demo", "--into", "demo"]).status.success());
    for words in [&[][..], &["--case", "demo/case"], &["--case", "demo/case", "--language", "es"]] {
        let page = Page::start(folder.path(), words);
        let mut open = vec!["/".to_owned()];
        let mut seen = Vec::new();
        while let Some(path) = open.pop() {
            if seen.contains(&path) {
                continue;
            }
            let reply = page.get(&path);
            assert_eq!(reply.status, 200, "{path}");
            for name in ["href=\"", "src=\"", "action=\"", "srcset=\"", "url("] {
                for part in reply.body.split(name).skip(1) {
                    let to = part.split(['"', ')']).next().unwrap().replace("&amp;", "&");
                    // Here, on this page, or inside the page itself; `//host` would be elsewhere.
                    let here = to.starts_with('/') && !to.starts_with("//");
                    assert!(here || to.starts_with('#') || to.starts_with("data:"), "{path}: {name}{to}");
                    if here && name == "href=\"" {
                        open.push(to);
                    }
                }
            }
            seen.push(path);
        }
        assert!(seen.len() > 15, "{seen:?}");
    }
}

#[test]
fn the_cookie_is_for_this_page_alone() {
    let (folder, page) = page();
    let host = format!("Host: 127.0.0.1:{}\r\n", page.port);
    let first = page.ask(&format!("GET /?key={}", page.key), &host, b"");
    let cookie = first.head.lines().find(|line| line.starts_with("Set-Cookie: ")).unwrap();
    for part in ["HttpOnly", "SameSite=Strict", "Path=/"] {
        assert!(cookie.contains(part), "{cookie}");
    }
    assert!(!cookie.contains("Domain"), "{cookie}");
    // The key lets nobody change anything, and each start has another one.
    let post = format!("{host}Content-Type: application/x-www-form-urlencoded\r\n");
    assert_eq!(page.ask(&format!("POST /case/new?key={}", page.key), &post, b"alias=x").status, 403);
    let other = Page::start(folder.path(), &[]);
    assert!(other.key != page.key && page.key.len() >= 32, "{}", page.key);
    let stranger = format!("Host: 127.0.0.1:{}\r\nCookie: stillroom={}\r\n", other.port, page.key);
    assert_eq!(other.ask("GET /", &stranger, b"").status, 403);
}

#[test]
fn no_path_leads_out() {
    let (folder, page) = page();
    std::fs::write(folder.path().join("secret.txt"), "not for the page").unwrap();
    for path in [
        "/../secret.txt",
        "/papers/../../secret.txt",
        "/%2e%2e/secret.txt",
        "/room/walk/..%2f..%2fsecret.txt/table",
        "/papers/checklist?list=../secret.txt",
        "/report/../secret",
        "/room/found/..%2f..%2fsecret.txt",
        "/room/measure/..%2fsecret.txt",
        "/papers/..%2fsecret.txt",
        "/room/change?before=../secret.txt&after=../secret.txt",
        "/meter?rung=../secret.txt",
        "//secret.txt",
    ] {
        let reply = page.get(path);
        assert!(!reply.body.contains("not for the page"), "{path}");
        assert!([200, 400, 404, 422].contains(&reply.status), "{path}: {}", reply.status);
    }
}

#[test]
fn a_body_that_is_too_large_is_refused_before_it_is_read() {
    let (_folder, page) = page();
    let mut stream = page.connect();
    let head = format!(
        "POST /sound HTTP/1.1\r\n{}Content-Type: application/octet-stream\r\nContent-Length: 999999999999\r\n\r\n",
        page.known()
    );
    stream.write_all(head.as_bytes()).unwrap();
    let mut line = [0; 12];
    stream.read_exact(&mut line).unwrap();
    assert_eq!(&line, b"HTTP/1.1 413");
}

#[test]
fn idle_and_slow_connections_hold_up_nobody() {
    let (_folder, page) = page();
    let idle: Vec<_> = (0..64).map(|_| page.connect()).collect();
    let mut slow: Vec<_> = (0..16).map(|_| page.connect()).collect();
    for (number, stream) in slow.iter_mut().enumerate() {
        let head = format!(
            "POST /sound HTTP/1.1\r\n{}Content-Type: application/octet-stream\r\nContent-Length: 100000\r\n\r\n",
            page.known()
        );
        // Half of them dawdle in the head, half in the body.
        let sent = if number % 2 == 0 { &head[..head.len() / 2] } else { &head };
        stream.write_all(sent.as_bytes()).unwrap();
    }
    // Each of these would wait for the end of its time if anyone were in the way.
    for _ in 0..5 {
        assert_eq!(page.get("/papers").status, 200);
    }
    drop((idle, slow));
    assert_eq!(page.get("/").status, 200);
}

#[test]
fn rubbish_ends_its_own_connection_only() {
    let (_folder, page) = page();
    for rubbish in [
        &b"\0\0\0\0\r\n\r\n"[..],
        b"GET",
        b"GET / HTTP/9.9\r\n\r\n",
        b"POST / HTTP/1.1\r\nContent-Length: -1\r\n\r\n",
        b"GET /\xff HTTP/1.1\r\n\r\n",
    ] {
        let mut stream = page.connect();
        stream.write_all(rubbish).unwrap();
        stream.shutdown(std::net::Shutdown::Write).unwrap();
        let _whatever = read(stream);
    }
    assert_eq!(page.get("/").status, 200);
}

#[test]
fn a_signal_ends_it_cleanly_whoever_is_still_there() {
    let (_folder, page) = page();
    assert_eq!(page.get("/").status, 200);
    let _idle: Vec<_> = (0..8).map(|_| page.connect()).collect();
    let mut slow = page.connect();
    let head = format!(
        "POST /sound HTTP/1.1\r\n{}Content-Type: application/octet-stream\r\nContent-Length: 9\r\n\r\nhalf",
        page.known()
    );
    slow.write_all(head.as_bytes()).unwrap();
    let port = page.port;
    assert_eq!(page.stop(), Some(0));
    assert!(std::net::TcpStream::connect(("127.0.0.1", port)).is_err());
}
