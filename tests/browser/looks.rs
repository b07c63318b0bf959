//! How pages look to those who see otherwise: by night, at twice the size, without motion, in grey on paper.

use std::process::Command;

use super::access::{PAGES, axe, findings};
use super::driver::{Browser, from_base64};
use super::house::House;

/// Contrast of text with what lies behind it that every reader needs. WCAG 2.2, 1.4.3: 4.5, large text 3.
const PRINTED: f64 = 4.5;

fn opened() -> (House, Browser) {
    let house = House::open("en");
    let browser = Browser::new(&[]);
    browser.open(&house.address);
    (house, browser)
}

#[test]
fn by_night_every_page_is_dark_and_readable() {
    let (house, browser) = opened();
    let axe = axe();
    browser.prefer("screen", &[("prefers-color-scheme", "dark")]);
    for (width, height) in [(1280, 900), (390, 800)] {
        browser.view(width, height);
        for page in PAGES {
            browser.open(&house.at(page));
            let behind =
                browser.run("return getComputedStyle(document.body).backgroundColor.match(/\\d+/g).map(Number)");
            let sum: f64 = behind.as_array().unwrap().iter().take(3).map(|part| part.as_f64().unwrap()).sum();
            assert!(sum < 150.0, "{page}: {behind}");
            assert_eq!(findings(&browser, &axe), Vec::<String>::new(), "{page}");
            browser.keep_picture(&format!("dark-{width}{}", page.replace('/', "-")));
        }
    }
}

#[test]
fn at_twice_the_size_nothing_is_cut_and_nothing_needs_to_be_scrolled_sideways() {
    let (house, browser) = opened();
    // 1280 points at 200 % are 640; 390 is a telephone; 320 is what WCAG 2.2, 1.4.10 asks for (1280 at 400 %).
    for width in [640, 390, 320] {
        browser.view(width, 600);
        for page in PAGES {
            browser.open(&house.at(page));
            let wide = browser.run(
                "const most = document.documentElement.clientWidth;
                 return [...document.querySelectorAll('body *')].filter(one => {
                     const box = one.getBoundingClientRect();
                     return box.width && box.right > most + 1 && !one.closest('.scroll, .skip, svg');
                 }).map(one => one.outerHTML.slice(0, 120))",
            );
            assert_eq!(wide, serde_json::json!([]), "{page} at {width}");
        }
        // What is touched is large: WCAG 2.2, 2.5.8 asks for 24 points, 2.5.5 for 44; ours are 44 and more but for links in text.
        browser.open(&house.at("/room"));
        let small = browser.run(
            "return [...document.querySelectorAll('main button, main .button, main label.pick, main input[type=text], nav a')]
                .filter(one => one.getBoundingClientRect().height < 44).map(one => one.outerHTML.slice(0, 120))",
        );
        assert_eq!(small, serde_json::json!([]), "{width}");
    }
}

#[test]
fn whoever_wants_no_motion_sees_none() {
    let (house, browser) = opened();
    let moving = "return [...document.querySelectorAll('*')].filter(one => {
        const style = getComputedStyle(one);
        return style.transitionDuration.split(',').some(time => parseFloat(time) > 0)
            || style.animationDuration.split(',').some(time => parseFloat(time) > 0)
            || style.scrollBehavior === 'smooth';
    }).length";
    for page in PAGES {
        browser.prefer("screen", &[("prefers-reduced-motion", "reduce")]);
        browser.open(&house.at(page));
        assert_eq!(browser.run(moving), 0, "{page}");
    }
    // The check itself is checked: with motion there is a little.
    browser.prefer("screen", &[("prefers-reduced-motion", "no-preference")]);
    browser.open(&house.at("/room"));
    assert_ne!(browser.run(moving), 0);
}

#[test]
fn pages_print_in_grey_with_every_word_and_without_their_buttons() {
    let (house, browser) = opened();
    for scheme in ["light", "dark"] {
        for page in ["/", "/practice", "/ladder", "/room/change", "/practice/stuck"] {
            browser.prefer("screen", &[]);
            browser.open(&house.at(page));
            let words = browser.run("return document.querySelector('main').innerText");
            browser.prefer("print", &[("prefers-color-scheme", scheme)]);
            // Grey: only lightness tells things apart. Contrast by relative luminance, WCAG 2.2.
            let faint = browser.run(&format!(
                "const light = (colour) => {{ const [r, g, b] = colour.match(/[\\d.]+/g).map(Number)
                     .map(v => v / 255).map(v => v <= 0.04045 ? v / 12.92 : ((v + 0.055) / 1.055) ** 2.4);
                     return 0.2126 * r + 0.7152 * g + 0.0722 * b; }};
                 return [...document.querySelectorAll('main p, main li, main h1, main h2, main h3, main dt, main dd')]
                     .filter(one => one.checkVisibility() && 1.05 / (light(getComputedStyle(one).color) + 0.05) < {PRINTED})
                     .map(one => one.outerHTML.slice(0, 120))"
            ));
            assert_eq!(faint, serde_json::json!([]), "{page} {scheme}");
            let shown = browser.run("return [...document.querySelectorAll('nav, .send, .skip, footer')].filter(one => one.checkVisibility()).length");
            assert_eq!(shown, 0, "{page}");
            let printed = print(&browser, &format!("print-{scheme}{}", page.replace('/', "-")));
            let letters = |text: &str| -> String { text.chars().filter(|sign| sign.is_alphanumeric()).collect() };
            let there = letters(&printed.replace('ﬁ', "fi").replace('ﬂ', "fl"));
            let heading = words.as_str().unwrap().lines().next().unwrap();
            assert!(there.contains(&letters(heading)), "{page}: {heading}\n{printed}");
        }
    }
}

/// Prints the page in grey, keeps the picture of the first sheet to be looked at, and gives the words.
fn print(browser: &Browser, name: &str) -> String {
    let folder = std::path::Path::new(env!("CARGO_TARGET_TMPDIR")).join("pictures");
    std::fs::create_dir_all(&folder).unwrap();
    let pdf = folder.join(format!("{name}.pdf"));
    std::fs::write(&pdf, from_base64(&browser.print(21.0, 29.7))).unwrap();
    let drawn = Command::new("pdftoppm")
        .args(["-gray", "-png", "-r", "60", "-singlefile"])
        .arg(&pdf)
        .arg(folder.join(name))
        .status();
    assert!(drawn.expect("pdftoppm is not installed: apt-get install poppler-utils").success());
    let text = Command::new("pdftotext").args(["-layout", "-enc", "UTF-8"]).arg(&pdf).arg("-").output().unwrap();
    std::fs::remove_file(&pdf).unwrap();
    String::from_utf8_lossy(&text.stdout).into_owned()
}
