//! The second source for reading sheets: printed to PDF by the browser, rasterised by poppler, bent and soiled by ImageMagick,
//! none of which knows this program. `STILLROOM_SHEETS=100` takes a hundred; the suite takes a few.

use std::collections::BTreeMap;
use std::path::Path;
use std::process::Command;

use stillroom::paper::{Filled, Kind, LAYOUT, Label, Sheet, seen};

use super::driver::{Browser, from_base64};
use super::house::{House, stillroom};

/// Sheets of the suite.
const SHEETS: u32 = 6;

fn chance(state: &mut u64) -> f64 {
    *state = state.wrapping_mul(6_364_136_223_846_793_005).wrapping_add(1_442_695_040_888_963_407);
    (*state >> 11) as f64 / (1u64 << 53) as f64
}

/// Crosses, or four lines that fill, over the circles that are named: place, width, reach, how far off, cross or not.
const DRAW: &str = "
    const svg = document.querySelector('svg.marks'), circles = [...svg.lastElementChild.children];
    const line = (width, x1, y1, x2, y2) => {
        const drawn = document.createElementNS(svg.namespaceURI, 'line');
        for (const [name, value] of Object.entries({x1, y1, x2, y2, stroke: 'INK', 'stroke-width': width, 'stroke-linecap': 'round'}))
            drawn.setAttribute(name, value);
        svg.append(drawn);
    };
    for (const [at, width, reach, off, cross] of [MARKS]) {
        const x = +circles[at].getAttribute('cx') + 0.6 * off, y = +circles[at].getAttribute('cy') + 0.4 * off;
        if (cross) {
            line(width, x - reach, y - reach, x + reach, y + reach);
            line(width, x - reach, y + reach, x + reach, y - reach);
        } else for (const down of [-0.9, -0.3, 0.3, 0.9]) line(width, x - reach, y + down, x + reach, y + down);
    }";

/// One circle of most questions.
fn chosen(kind: Kind, state: &mut u64) -> Vec<usize> {
    let label = Label { layout: LAYOUT, kind, language: *b"en", page: 0, alias: 1, week: None, about: None, number: 0 };
    let mut groups: BTreeMap<_, Vec<usize>> = BTreeMap::new();
    for (at, circle) in Sheet::plain(label).unwrap().circles.iter().enumerate() {
        groups.entry((circle.row, circle.field)).or_default().push(at);
    }
    let pick = |group: Vec<usize>| {
        let of = (chance(state) * group.len() as f64).floor();
        (0..group.len()).find(|at| (*at as f64 - of).abs() < 0.5).filter(|_| chance(state) < 0.7).map(|at| group[at])
    };
    groups.into_values().filter_map(pick).collect()
}

fn done(program: &str, words: &[&str], hint: &str) {
    let out = Command::new(program).args(words).output().unwrap_or_else(|_| panic!("{program} is missing: {hint}"));
    assert!(out.status.success(), "{program}: {}", String::from_utf8_lossy(&out.stderr));
}

/// A4, centimetres.
pub(crate) const A4: (f64, f64) = (21.0, 29.7);

/// Draws marks on `sheet.html`, prints it to PDF, and makes `sheet.png` of its first page.
pub(crate) fn printed(browser: &Browser, folder: &Path, marks: &str, ink: &str, (width, height): (f64, f64)) {
    let at = |name: &str| folder.join(name).display().to_string();
    browser.open(&format!("file://{}", at("sheet.html")));
    browser.run(&DRAW.replace("MARKS", marks).replace("INK", ink));
    std::fs::write(folder.join("sheet.pdf"), from_base64(&browser.print(width, height))).unwrap();
    let words = ["-r", "150", "-gray", "-png", "-f", "1", "-l", "1", "-singlefile", &at("sheet.pdf"), &at("sheet")];
    done("pdftoppm", &words, "apt-get install poppler-utils");
}

/// Makes `sheet.jpg` of `sheet.png`, as if it had been photographed.
pub(crate) fn warped(folder: &Path, corners: &str, turn: &str) {
    let at = |name: &str| folder.join(name).display().to_string();
    let words = format!(
        "{} -virtual-pixel Gray -bordercolor gray40 -border 80 -distort Perspective\n{corners}\n-background gray30 -rotate {turn} \
         -level -8%,115% -gaussian-blur 0x0.8 -attenuate 0.25 +noise Gaussian -quality 82 {}",
        at("sheet.png"),
        at("sheet.jpg")
    );
    let parts: Vec<&str> = words.lines().collect();
    let [before, places, after] = parts[..] else { unreachable!("three lines") };
    let words: Vec<&str> = before.split_whitespace().chain([places]).chain(after.split_whitespace()).collect();
    done("convert", &words, "apt-get install imagemagick");
}

#[test]
fn sheets_that_a_browser_printed_and_imagemagick_warped_are_read() {
    let house = House::open("en");
    let browser = Browser::new(&[]);
    let folder = house.folder.path();
    let sheets = std::env::var("STILLROOM_SHEETS").ok().and_then(|n| n.parse().ok()).unwrap_or(SHEETS);
    let (mut marks, mut asked, mut wrong) = (0usize, 0usize, Vec::new());
    for number in 0..sheets {
        let mut state = u64::from(number) + 77;
        let name = ["session-sheet", "sampling-sheet", "screen-diary"][number as usize % 3];
        stillroom(folder, &["form", name, "--case", "demo/case", "--out", "sheet.html"]);
        let filled = chosen(Kind::of_name(name).unwrap(), &mut state);
        let lines = filled.iter().map(|at| {
            format!(
                "[{at},{:.2},{:.2},{:.2},{}]",
                0.5 + 0.4 * chance(&mut state),
                1.1 + 0.6 * chance(&mut state),
                chance(&mut state) - 0.5,
                chance(&mut state) < 0.5
            )
        });
        let size = if number % 2 == 0 { A4 } else { (21.59, 27.94) };
        let lines = lines.collect::<Vec<_>>().join(",");
        printed(&browser, folder, &lines, ["#112", "#225", "#444"][number as usize / 3 % 3], size);
        let mut off = |most: f64| most * chance(&mut state);
        let (w, h) = (size.0 / 2.54 * 150.0, size.1 / 2.54 * 150.0);
        let corners = format!(
            "0,0 {},{} {w:.0},0 {},{} {w:.0},{h:.0} {},{} 0,{h:.0} {},{}",
            60.0 + off(150.0),
            60.0 + off(120.0),
            w - off(150.0),
            40.0 + off(150.0),
            w - off(120.0),
            h - off(150.0),
            40.0 + off(120.0),
            h - off(120.0)
        );
        warped(folder, &corners, &format!("{:.1}", off(360.0)));
        let found = seen(&std::fs::read(folder.join("sheet.jpg")).unwrap())
            .unwrap_or_else(|fault| panic!("{name} {number}: {fault}"));
        let reading = found.read(&Sheet::plain(found.label()).unwrap()).unwrap();
        for (at, mark) in reading.marks.iter().enumerate() {
            marks += 1;
            match mark.filled {
                Filled::Doubtful => asked += 1,
                read if (read == Filled::Yes) != filled.contains(&at) => {
                    wrong.push(format!("{name} {number}: {}", mark.circle.name()))
                }
                _ => {}
            }
        }
    }
    assert!(wrong.len() * 2_000 <= marks, "{wrong:?} of {marks}");
    assert!(asked * 50 <= marks, "{asked} of {marks}");
    eprintln!("{sheets} sheets, {marks} marks, {asked} asked about, {} wrong", wrong.len());
}
