//! No text leaves its box, however long the words are and whichever way they run.
//!
//! English 40 % longer and English in letters from right to left (`src/language/pseudo.rs`) stand for languages that
//! nobody has translated yet; Spanish is the real one. On a telephone, and printed.

use std::path::Path;
use std::process::Command;

use super::access::{PAGES, forms};
use super::driver::{Browser, from_base64};
use super::house::{House, stillroom};

const LANGUAGES: [&str; 3] = ["es", "en-x-longer", "ar-x-mirrored"];
/// Reports by their reader.
const READERS: [&str; 3] = ["family", "visitor", "clinician"];

/// Elements that are wider than their box or cut, and texts that lie outside the box of their block or off the page.
/// What scrolls on purpose, is hidden or is read out only is left out.
const CHECK: &str = "
const found = [];
const page = document.documentElement;
if (page.scrollWidth > page.clientWidth) found.push('the page is ' + page.scrollWidth + ' wide');
const told = one => one.tagName.toLowerCase() + '.' + (one.getAttribute('class') || '') + ' ' + one.textContent.trim().slice(0, 60);
const scrolls = one => { for (let up = one; up; up = up.parentElement) { const o = getComputedStyle(up).overflowX; if (o === 'auto' || o === 'scroll') return true; } return false; };
const shown = one => { const box = one.getBoundingClientRect(); const style = getComputedStyle(one);
  return box.width > 2 && box.height > 2 && style.visibility !== 'hidden' && style.clipPath === 'none' && style.clip === 'auto'; };
for (const one of document.body.querySelectorAll('*')) {
  if (one.closest('svg') || !shown(one) || scrolls(one)) continue;
  const style = getComputedStyle(one);
  if (style.display !== 'inline' && !['INPUT', 'SELECT', 'TEXTAREA'].includes(one.tagName) && one.clientWidth > 0 && one.scrollWidth > one.clientWidth + 1)
    found.push('wide: ' + told(one));
  if (style.overflowY === 'hidden' && one.scrollHeight > one.clientHeight + 1) found.push('cut: ' + told(one));
}
const walker = document.createTreeWalker(document.body, NodeFilter.SHOW_TEXT);
for (let text = walker.nextNode(); text; text = walker.nextNode()) {
  if (!text.textContent.trim()) continue;
  const one = text.parentElement;
  if (one.closest('svg') || one.closest('script,style') || !shown(one) || scrolls(one)) continue;
  let block = one;
  while (getComputedStyle(block).display === 'inline') block = block.parentElement;
  const range = document.createRange();
  range.selectNodeContents(text);
  const box = block.getBoundingClientRect();
  for (const rect of range.getClientRects())
    if (rect.width > 0 && (rect.left < box.left - 1.5 || rect.right > box.right + 1.5)) { found.push('outside: ' + told(one)); break; }
}
for (const svg of document.querySelectorAll('svg')) {
  const frame = svg.getBoundingClientRect();
  if (frame.width < 2) continue;
  for (const text of svg.querySelectorAll('text')) {
    const box = text.getBoundingClientRect();
    if (box.width > 0 && (box.left < frame.left - 2 || box.right > frame.right + 2)) found.push('off the drawing: ' + text.textContent);
  }
}
return found.slice(0, 8);";

fn found(browser: &Browser) -> Vec<String> {
    browser.run(CHECK).as_array().unwrap().iter().map(|one| one.as_str().unwrap().to_owned()).collect()
}

/// Writes every paper and report in a language and gives their names.
fn sheets(folder: &Path, language: &str) -> Vec<String> {
    let mut names = Vec::new();
    for form in forms(folder) {
        let out = format!("{form}-{language}.html");
        stillroom(folder, &["form", &form, "--language", language, "--case", "demo/case", "--out", &out]);
        names.push(out);
    }
    for reader in READERS {
        let out = format!("{reader}-{language}.html");
        stillroom(folder, &["report", "--case", "demo/case", "--for", reader, "--language", language, "--out", &out]);
        names.push(out);
    }
    names
}

fn open(browser: &Browser, folder: &Path, name: &str) {
    browser.open(&format!("file://{}", folder.join(name).display()));
}

#[test]
fn no_text_leaves_its_box_on_any_paper_and_report() {
    let house = House::open("en");
    let browser = Browser::new(&[]);
    let folder = house.folder.path();
    let mut wrong = Vec::new();
    for language in LANGUAGES {
        for name in sheets(folder, language) {
            for (width, height) in [(390, 800), (1280, 900)] {
                browser.view(width, height);
                open(&browser, folder, &name);
                wrong.extend(found(&browser).into_iter().map(|what| format!("{name} at {width}: {what}")));
                if width == 390 {
                    browser.keep_picture(&format!("sheet-{name}"));
                }
            }
        }
    }
    assert!(wrong.is_empty(), "{}", wrong.join("\n"));
}

#[test]
fn no_text_leaves_its_box_on_any_page() {
    let mut wrong = Vec::new();
    for language in LANGUAGES {
        let house = House::open(language);
        let browser = Browser::new(&[]);
        browser.open(&house.address);
        browser.view(390, 800);
        for page in PAGES {
            browser.open(&house.at(page));
            wrong.extend(found(&browser).into_iter().map(|what| format!("{language} {page}: {what}")));
        }
    }
    assert!(wrong.is_empty(), "{}", wrong.join("\n"));
}

#[test]
fn a_mirrored_page_runs_from_right_to_left() {
    let house = House::open("en");
    let browser = Browser::new(&[]);
    let folder = house.folder.path();
    browser.view(1280, 900);
    for name in sheets(folder, "ar-x-mirrored") {
        open(&browser, folder, &name);
        let turned = browser.run(
            "const text = document.querySelector('h1').firstChild; const range = document.createRange();
             range.selectNodeContents(text);
             const word = range.getBoundingClientRect(), main = document.querySelector('main').getBoundingClientRect();
             const lefts = [...document.querySelectorAll('p,li,td,th,dd,dt,caption')].filter(one => getComputedStyle(one).textAlign === 'left');
             return getComputedStyle(document.body).direction === 'rtl' && lefts.length === 0
                && (getComputedStyle(document.querySelector('h1')).textAlign === 'center' || main.right - word.right < word.left - main.left);",
        );
        assert_eq!(turned, true, "{name}");
    }
}

#[test]
fn nothing_is_cut_where_long_words_are_printed() {
    let house = House::open("en");
    let browser = Browser::new(&[]);
    let folder = house.folder.path();
    for language in LANGUAGES {
        for name in sheets(folder, language) {
            open(&browser, folder, &name);
            let pdf = folder.join("print.pdf");
            std::fs::write(&pdf, from_base64(&browser.print(21.0, 29.7))).unwrap();
            let out = Command::new("pdftotext")
                .args(["-bbox", "-enc", "UTF-8"])
                .arg(&pdf)
                .arg("-")
                .output()
                .expect("pdftotext is not installed: apt-get install poppler-utils");
            let text = String::from_utf8_lossy(&out.stdout).into_owned();
            let number = |line: &str, name: &str| -> f64 {
                line.split(&format!(" {name}=\"")).nth(1).unwrap().split('"').next().unwrap().parse().unwrap()
            };
            let (mut width, mut words) = (0.0, 0);
            for line in text.lines().map(str::trim) {
                if line.starts_with("<page ") {
                    width = number(line, "width");
                } else if line.starts_with("<word ") {
                    words += 1;
                    // A margin of 5 mm is 14 points; a word beyond it is cut by most printers.
                    assert!(number(line, "xMin") >= 14.0 && number(line, "xMax") <= width - 14.0, "{name}: {line}");
                }
            }
            assert!(words > 10, "{name}: {words} words");
        }
    }
}

#[test]
fn a_text_that_is_made_too_wide_is_found() {
    // The check itself is checked.
    let house = House::open("en");
    let browser = Browser::new(&[]);
    browser.view(390, 800);
    open(&browser, house.folder.path(), "demo/family.html");
    assert_eq!(found(&browser), Vec::<String>::new());
    browser.run("document.querySelector('main p').style.cssText = 'width:40px;white-space:nowrap'");
    assert!(found(&browser).iter().any(|what| what.starts_with("outside: p") || what.starts_with("wide: p")));
}
