//! The visitor's page: what was measured, when, with what, what came out, what was agreed.

use maud::{Markup, html};

use super::papers::frame::{head, known_field, line_field, lines, sheet, ticks};
use super::{CaseReport, say};
use crate::contract::SoundDoc;
use crate::language::{Said, Speaker};
use crate::words::printable;

const STYLE: &str = include_str!("family.css");

/// The page.
pub(crate) fn page(report: &CaseReport<'_>, speaker: &Speaker) -> String {
    let audit = report.now.audit;
    let day = audit.date.parse().map_or_else(|_| printable(&audit.date), |date| speaker.day(date));
    let number = |value: f64, decimals| Said::Words(speaker.number(value, decimals));
    let body = html! {
        (head(&[
            known_field(speaker, "field-for", report.alias.unwrap_or("–")),
            known_field(speaker, "field-place", &say::capital(report.place)),
            known_field(speaker, "field-day", &day),
            known_field(speaker, "field-by", &audit.by),
        ]))
        table.measured {
            thead { tr {
                th scope="col" { (speaker.say("visitor-what")) }
                th scope="col" { (speaker.say("visitor-how")) }
                th scope="col" { (speaker.say("visitor-found")) }
            } }
            tbody { (checklist(report, speaker)) (sound(report.now.sound, speaker)) (photos(report, speaker)) }
        }
        p { (speaker.say_with("visitor-load", &[
            ("load", number(audit.load, 0)),
            ("grade", Said::Words(speaker.say(&format!("grade-{}", audit.grade)))),
            ("low", number(audit.load_low, 0)),
            ("high", number(audit.load_high, 0)),
        ])) }
        section {
            h2 { (speaker.say("visitor-first")) }
            p.small { (speaker.say_with("visitor-first-help", &[("minutes", number(audit.first_moves.minutes, 0))])) }
            ol { @for id in &audit.first_moves.ids {
                li { (report.name(id)) @if let Some(remedy) = audit.shares.iter().find(|share| share.id == *id).and_then(|share| share.remedy.as_deref()) { ": " (remedy) } }
            } }
            @if audit.first_moves.ids.is_empty() { p { (speaker.say("visitor-nothing")) } }
        }
        @if !audit.disagreements.is_empty() {
            section { h2 { (speaker.say("visitor-differ")) } ul { @for one in &audit.disagreements { li { (one.text) } } } }
        }
        @if !audit.cautions.is_empty() {
            section { h2 { (speaker.say("visitor-mind")) } ul { @for one in &audit.cautions { li { (one.text) } } } }
        }
        section {
            h2 { (speaker.say("visitor-keep")) }
            @if audit.keep.is_empty() { p { (speaker.say("visitor-keep-none")) } }
            @else { ul.known { @for thing in &audit.keep { li { (speaker.own_words(&printable(thing))) } } } }
        }
        section { h2 { (speaker.say("visitor-agreed")) } (lines(2)) }
        section { h2 { (speaker.say("visitor-left")) } (ticks(speaker, &["visitor-left-1", "visitor-left-2", "visitor-left-3"])) }
        (head(&[line_field(speaker, "visitor-next-visit")]))
    };
    sheet(&speaker.say("visitor-title"), "visitor", STYLE, report.version, speaker, &body)
}

fn checklist(report: &CaseReport<'_>, speaker: &Speaker) -> Markup {
    let audit = report.now.audit;
    let all = report.now.answers.len();
    let open: Vec<String> = audit.unanswered.iter().map(|id| report.name(id)).collect();
    let count = |number: usize| Said::Words(number.to_string());
    html! {
        tr {
            th scope="row" { (speaker.say_with("visitor-list", &[("list", Said::Words(printable(&audit.checklist)))])) }
            td { (speaker.say_with("visitor-list-answered", &[
                ("answered", count(all.saturating_sub(open.len()))), ("all", count(all)), ("by", Said::Words(printable(&audit.by))),
            ])) }
            td { @if open.is_empty() { "–" } @else { (speaker.say_with("visitor-list-open", &[("things", Said::Words(open.join(", ")))])) } }
        }
    }
}

fn sound(doc: Option<&SoundDoc>, speaker: &Speaker) -> Markup {
    let number = |value: f64| Said::Words(speaker.number(value, 1));
    let Some(doc) = doc else {
        return html! { tr { th scope="row" { (speaker.say("visitor-sound")) } td { (speaker.say("visitor-sound-none")) } td { "–" } } };
    };
    let calibration = match doc.calibration.sd_db {
        sd if doc.level_unit == "dB" => {
            speaker.say_with("visitor-calibrated", &[("sd", sd.map_or_else(|| "–".into(), number))])
        }
        _ => speaker.say("visitor-uncalibrated"),
    };
    let level = |value: Option<f64>| value.map_or_else(|| Said::Words("–".to_owned()), number);
    html! {
        tr {
            th scope="row" { (speaker.say("visitor-sound")) }
            td { (speaker.say_with("visitor-sound-how", &[
                ("seconds", Said::Words(speaker.number(doc.source.seconds, 0))), ("calibration", Said::Words(calibration)),
            ])) }
            td {
                (speaker.say_with("visitor-level", &[
                    ("level", level(doc.levels.laeq_db)), ("background", level(doc.levels.la90_db)), ("unit", doc.level_unit.as_str().into()),
                ]))
                @if let Some(margin) = &doc.margin {
                    br; (speaker.say_with("visitor-margin", &[("margin", number(margin.margin_db))]))
                }
                @for warning in &doc.quality.warnings { br; (warning.text) }
            }
        }
    }
}

fn photos(report: &CaseReport<'_>, speaker: &Speaker) -> Markup {
    html! {
        @if report.now.photos.is_empty() {
            tr { th scope="row" { (speaker.say_with("visitor-photo", &[("number", "".into())]).trim()) } td { (speaker.say("visitor-photo-none")) } td { "–" } }
        }
        @for (photo, number) in report.now.photos.iter().zip(1_u32..) {
            tr {
                th scope="row" { (speaker.say_with("visitor-photo", &[("number", Said::Words(number.to_string()))])) }
                td { (speaker.say_with("visitor-photo-how", &[
                    ("width", Said::Words(photo.doc.photo.width.to_string())), ("height", Said::Words(photo.doc.photo.height.to_string())),
                ])) }
                td {
                    (speaker.say_with("visitor-busyness", &[
                        ("busyness", Said::Words(speaker.number(photo.doc.busyness, 0))),
                        ("sd", Said::Words(speaker.number(photo.doc.busyness_sd, 0))),
                    ]))
                    @for warning in &photo.doc.quality.warnings { br; (warning.text) }
                }
            }
        }
    }
}
