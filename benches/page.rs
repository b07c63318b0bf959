//! The local page: first view, pages a second with 64 idle connections held, memory with a 12-megapixel photo.
//! `cargo bench --bench page`
#![allow(
    clippy::unwrap_used,
    clippy::print_stdout,
    clippy::disallowed_methods,
    reason = "a bench prints what it timed"
)]

use std::io::{BufRead, BufReader, Cursor, Read, Write};
use std::net::TcpStream;
use std::process::{Child, Command, Stdio};
use std::thread;
use std::time::{Duration, Instant};

/// Connections that ask, one after the other request each.
const ASKING: usize = 2;
const IDLE: usize = 64;
const WHILE: Duration = Duration::from_secs(4);

fn main() {
    let folder = tempfile::tempdir().unwrap();
    let program = env!("CARGO_BIN_EXE_stillroom");
    let demo = Command::new(program).args(["demo", "--into", "demo"]).current_dir(folder.path()).output().unwrap();
    assert!(demo.status.success());
    let begun = Instant::now();
    let mut child = Command::new(program)
        .args(["serve", "--case", "demo/case"])
        .current_dir(folder.path())
        .env("XDG_STATE_HOME", folder.path())
        .stdout(Stdio::piped())
        .stderr(Stdio::null())
        .spawn()
        .unwrap();
    let mut first = String::new();
    BufReader::new(child.stdout.take().unwrap()).read_line(&mut first).unwrap();
    let (port, key) = first.trim().strip_prefix("http://127.0.0.1:").unwrap().split_once("/?key=").unwrap();
    let port: u16 = port.parse().unwrap();
    let head = format!("Host: 127.0.0.1:{port}\r\nCookie: stillroom={key}\r\n");
    let mut stream = TcpStream::connect(("127.0.0.1", port)).unwrap();
    get(&mut stream, "/", &head);
    println!("start and first view            {:6.1} ms (wanted: a first view under 100)", ms(begun.elapsed()));
    for path in ["/", "/papers", "/room", "/practice", "/papers/checklist", "/report/family"] {
        let mut times: Vec<f64> = (0..31)
            .map(|_| {
                let begun = Instant::now();
                get(&mut stream, path, &head);
                ms(begun.elapsed())
            })
            .collect();
        times.sort_by(f64::total_cmp);
        println!("median of {path:<22}{:6.2} ms", times[15]);
    }
    let idle: Vec<TcpStream> = (0..IDLE).map(|_| TcpStream::connect(("127.0.0.1", port)).unwrap()).collect();
    for path in ["/room", "/", "/practice"] {
        let before = processor(&child);
        let counts: usize = thread::scope(|scope| {
            let asking: Vec<_> = (0..ASKING).map(|_| scope.spawn(|| count(port, path, &head))).collect();
            asking.into_iter().map(|one| one.join().unwrap()).sum()
        });
        let a_second = f64::from(u32::try_from(counts).unwrap()) / WHILE.as_secs_f64();
        let each = (processor(&child) - before) * 1000.0 / f64::from(u32::try_from(counts).unwrap());
        // Two cores answer 500 a second as long as a page takes less than 4 ms of one; the time is this process's alone.
        println!(
            "{path:<10}{a_second:8.0} pages a second, {each:.2} ms of processor time a page, {IDLE} idle connections held (wanted: 500, 4 ms)"
        );
    }
    drop(idle);
    let photo = photo();
    let mut body = b"--edge\r\nContent-Disposition: form-data; name=\"photo\"; filename=\"a.jpg\"\r\n\r\n".to_vec();
    body.extend_from_slice(&photo);
    body.extend_from_slice(b"\r\n--edge--\r\n");
    let begun = Instant::now();
    let request = format!(
        "POST /photo HTTP/1.1\r\n{head}Content-Type: multipart/form-data; boundary=edge\r\nContent-Length: {}\r\n\r\n",
        body.len()
    );
    stream.write_all(request.as_bytes()).unwrap();
    stream.write_all(&body).unwrap();
    read(&mut stream);
    println!("a 12-megapixel photo            {:6.0} ms", ms(begun.elapsed()));
    println!("most memory                     {:6.0} MB (wanted: under 150)", memory(&child));
    child.kill().unwrap();
    child.wait().unwrap();
}

fn ms(time: Duration) -> f64 {
    time.as_secs_f64() * 1000.0
}

fn get(stream: &mut TcpStream, path: &str, head: &str) {
    stream.write_all(format!("GET {path} HTTP/1.1\r\n{head}\r\n").as_bytes()).unwrap();
    read(stream);
}

/// Reads one answer by its length.
fn read(stream: &mut TcpStream) {
    let mut reader = BufReader::new(stream);
    let mut length = 0;
    let mut first = String::new();
    reader.read_line(&mut first).unwrap();
    assert!(first.contains(" 200 "), "{first}");
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
    reader.read_exact(&mut vec![0; length]).unwrap();
}

fn count(port: u16, path: &str, head: &str) -> usize {
    let mut stream = TcpStream::connect(("127.0.0.1", port)).unwrap();
    let begun = Instant::now();
    let mut count = 0;
    while begun.elapsed() < WHILE {
        get(&mut stream, path, head);
        count += 1;
    }
    count
}

/// A picture of 12 megapixels with structure everywhere, so that it does not compress to nothing.
fn photo() -> Vec<u8> {
    let picture = image::RgbImage::from_fn(4000, 3000, |x, y| {
        let wave = |step: u32| u8::try_from((x * step / 7 + y * y / (step * 11 + 1)) % 256).unwrap();
        image::Rgb([wave(3), wave(5), wave(9)])
    });
    let mut bytes = Cursor::new(Vec::new());
    picture.write_to(&mut bytes, image::ImageFormat::Jpeg).unwrap();
    bytes.into_inner()
}

/// Processor time a process has used so far, in seconds; 0 where the system does not tell.
fn processor(child: &Child) -> f64 {
    let stat = std::fs::read_to_string(format!("/proc/{}/stat", child.id())).unwrap_or_default();
    // After the name in brackets: fields 14 and 15 of the line are user and system time in ticks, 100 a second on Linux.
    let fields: Vec<&str> = stat.rsplit(')').next().unwrap_or_default().split_whitespace().collect();
    let ticks = |at: usize| fields.get(at).and_then(|field| field.parse::<f64>().ok()).unwrap_or(0.0);
    (ticks(11) + ticks(12)) / 100.0
}

/// The most memory a process has used so far, in MB; 0 where the system does not tell.
fn memory(child: &Child) -> f64 {
    let status = std::fs::read_to_string(format!("/proc/{}/status", child.id())).unwrap_or_default();
    let line = status.lines().find_map(|line| line.strip_prefix("VmHWM:")).unwrap_or("0 kB");
    line.trim().trim_end_matches(" kB").parse::<f64>().unwrap_or(0.0) / 1024.0
}
