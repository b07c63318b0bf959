//! The whole calculation of a load, line by line, so that anyone can redo it with a calculator.
//!
//! A line names what it computes, shows the formula in names and in numbers, and gives the result. Later lines use
//! the names of earlier ones. Functions: `ln`, `exp`, `^`. The doubt is 4,000 draws, which no calculator redoes; it
//! has a line of its own that says how it is drawn.
//!
//! Each line carries the tag of the constants it uses: that of the item, or of the scale's table. A line that uses only
//! earlier lines rests on the law that pulls add, which is a convention.

use std::collections::BTreeMap;
use std::fmt::{self, Write};

use crate::checklist::{Answer, Unit};
use crate::load::pool::{Parts, Pulls, Room, Term};
use crate::load::{Assessment, AuditInputs, Scale, SoundLevel};
use crate::words::{Channel, Evidence};

/// One line of a calculation.
#[derive(Clone, Debug, PartialEq)]
pub struct WorkLine {
    /// What is computed, such as `u[loose-things-on-table]`.
    pub name: String,
    /// The formula in names and constants.
    pub formula: String,
    /// The formula in numbers only.
    pub numbers: String,
    /// The result, in full.
    pub value: f64,
    /// What it is, in words.
    pub says: String,
    /// What the constants in it rest on.
    pub evidence: Evidence,
}

impl fmt::Display for WorkLine {
    fn fmt(&self, out: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(out, "{} = ", self.name)?;
        if self.formula != self.numbers {
            write!(out, "{} = ", self.formula)?;
        }
        if self.numbers != figure(self.value) {
            write!(out, "{} = ", self.numbers)?;
        }
        write!(out, "{}   ({}) [{}]", figure(self.value), self.says, self.evidence)
    }
}

/// Lines under way; `(name, value)` of all so far.
struct Sheet {
    lines: Vec<WorkLine>,
}

/// A piece of a formula: a sign or constant, or a name with its value.
enum Piece {
    Text(String),
    Named(String, f64),
}

impl Sheet {
    /// A line that uses no constant but the law.
    fn line(&mut self, name: &str, pieces: Vec<Piece>, value: f64, says: impl Into<String>) {
        self.tagged(Evidence::Convention, name, pieces, value, says);
    }

    /// A line with constants that rest on `evidence`.
    fn tagged(&mut self, evidence: Evidence, name: &str, pieces: Vec<Piece>, value: f64, says: impl Into<String>) {
        let (mut formula, mut numbers) = (String::new(), String::new());
        for piece in pieces {
            match piece {
                Piece::Text(text) => {
                    formula.push_str(&text);
                    numbers.push_str(&text);
                }
                Piece::Named(name, value) => {
                    formula.push_str(&name);
                    numbers.push_str(&figure(value));
                }
            }
        }
        self.lines.push(WorkLine { name: name.to_owned(), formula, numbers, value, says: says.into(), evidence });
    }
}

fn text(text: impl Into<String>) -> Piece {
    Piece::Text(text.into())
}

fn named(name: impl Into<String>, value: f64) -> Piece {
    Piece::Named(name.into(), value)
}

/// `a + b + …`, or 0 for nothing.
fn sum(pieces: impl IntoIterator<Item = Piece>) -> Vec<Piece> {
    let mut all: Vec<Piece> = Vec::new();
    for piece in pieces {
        if !all.is_empty() {
            all.push(text(" + "));
        }
        all.push(piece);
    }
    if all.is_empty() {
        all.push(text("0"));
    }
    all
}

/// A result as a calculator shows it: six decimals, without trailing zeros.
fn figure(value: f64) -> String {
    let shown = format!("{value:.6}");
    let shown = shown.trim_end_matches('0').trim_end_matches('.');
    if shown == "-0" { "0".to_owned() } else { shown.to_owned() }
}

/// What a table of the scale rests on; ours where the file does not say.
fn tag(scale: &Scale, table: &str) -> Evidence {
    let found = scale.tables().iter().find(|one| one.name == table);
    found.and_then(|one| one.evidence).unwrap_or(Evidence::Convention)
}

/// The whole calculation of an assessment made from these inputs.
pub fn explain(inputs: &AuditInputs<'_>, assessment: &Assessment) -> Vec<WorkLine> {
    let (room, _) = Room::of(inputs);
    let pulls = room.pulls();
    let mut parts = Parts::default();
    room.parts(&pulls, &mut parts);
    let mut sheet = Sheet { lines: Vec::new() };
    for term in &room.terms {
        answer_line(&mut sheet, term, room.scale.factor(term.item.id.as_str()));
    }
    photo_lines(&mut sheet, &room);
    sound_lines(&mut sheet, &room);
    for channel in Channel::ALL {
        channel_lines(&mut sheet, &room, &pulls, channel, assessment.channels[channel as usize].pull.u());
    }
    let products = Channel::ALL.map(|channel| {
        let s = room.sensitivity.of(channel);
        let pull = assessment.channels[channel as usize].pull.u();
        let shown = format!("{} * {}", plain(s), figure(pull));
        (format!("{} * u_{channel}", plain(s)), shown)
    });
    let formula = products.each_ref().map(|(names, _)| names.as_str()).join(" + ");
    let numbers = products.each_ref().map(|(_, numbers)| numbers.as_str()).join(" + ");
    let says = "sensitivity times pull, summed over seen, heard, company".to_owned();
    let total = assessment.pull.u();
    let evidence = tag(room.scale, "sensitivity");
    sheet.lines.push(WorkLine { name: "U".to_owned(), formula, numbers, value: total, says, evidence });
    let law = vec![text("100 * (1 - exp(-"), named("U", total), text("))")];
    let grades = tag(room.scale, "grades");
    sheet.tagged(grades, "load", law, assessment.load.points(), format!("the load; in a word: {}", assessment.grade));
    share_lines(&mut sheet, &room, &pulls, assessment);
    moves_line(&mut sheet, assessment);
    sheet.lines
}

/// The line about the doubt, which no calculator redoes.
pub fn explain_doubt(inputs: &AuditInputs<'_>, assessment: &Assessment) -> String {
    let doubt = inputs.scale.doubt();
    let unseen = match assessment.unanswered.len() {
        0 => String::new(),
        1 => "; for load_high, plus an evenly drawn part of the full pull of the item that was not seen".to_owned(),
        more => format!("; for load_high, plus an evenly drawn part of the full pull of each of {more} items not seen"),
    };
    format!(
        "load_low, load_high = {}, {}   (5th and 95th percentile of {} draws with seed {}: each pull times exp({} z) of \
         its channel, exp({} z) of its own and exp({} z) of its answer, z a standard normal number{unseen}) [{}]",
        figure(assessment.load_low.points()),
        figure(assessment.load_high.points()),
        doubt.draws,
        doubt.seed,
        plain(doubt.channel),
        plain(doubt.item),
        plain(doubt.answer),
        tag(inputs.scale, "doubt")
    )
}

/// A constant as it was given.
fn plain(value: f64) -> String {
    format!("{value}")
}

fn term_name(term: &Term<'_>) -> String {
    format!("u[{}]", term.item.id)
}

fn answer_line(sheet: &mut Sheet, term: &Term<'_>, factor: f64) {
    let alone = |alone: f64| format!("-ln(1 - {}/100)", plain(alone));
    let law = match (&term.item.unit, term.answer) {
        (Unit::Count { alone, half }, Answer::Count(count)) => {
            format!("-ln(1 - {}/100 * (1 - 2^(-{count}/{})))", plain(*alone), plain(*half))
        }
        (Unit::Yes { alone: percent }, Answer::Yes(true)) => alone(*percent),
        (Unit::Choice(options), Answer::Option(key)) => {
            options.iter().find(|option| option.key == *key).map_or("0".to_owned(), |option| alone(option.alone))
        }
        _ => "0".to_owned(),
    };
    #[expect(clippy::float_cmp, reason = "nothing learned is 1 exactly")]
    let law = if factor == 1.0 { law } else { format!("{} * {law}", plain(factor)) };
    let says = format!("{}, answer: {}", term.item.channel, term.answer);
    sheet.tagged(term.item.evidence, &term_name(term), vec![text(law)], term.pull.u(), says);
}

fn photo_lines(sheet: &mut Sheet, room: &Room<'_>) {
    let mut singles = Vec::new();
    for (at, photo) in room.photos.iter().enumerate() {
        let name = format!("photo[{}]", at + 1);
        let value = photo.pull(room.scale, 0.0).u();
        let law = format!("-ln(1 - {}/100 * {}/100)", plain(room.scale.photo_alone()), plain(photo.busyness));
        let says = format!("the pull of `{}`", crate::words::printable(&photo.name));
        sheet.tagged(tag(room.scale, "photo"), &name, vec![text(law)], value, says);
        singles.push(named(name, value));
    }
    let count = singles.len();
    if let Some(value) = room.photo_pull(&vec![0.0; count]) {
        let mut mean = vec![text("(")];
        mean.extend(sum(singles));
        mean.push(text(format!(")/{count}")));
        sheet.line("photo", mean, value, "what the photos say, the mean of their pulls");
    }
}

fn sound_lines(sheet: &mut Sheet, room: &Room<'_>) {
    let Some(value) = room.sound_pull(0.0) else { return };
    let heard_tag = tag(room.scale, "heard");
    let (level, rows, evidence) = match room.sound {
        Some(SoundLevel::Calibrated { laeq, speech_share, .. }) => {
            let heard = room.scale.heard();
            let rating = heard.rating(*laeq, *speech_share).db();
            let law = format!("{} + {} * {}", plain(laeq.db()), plain(heard.speech_db()), plain(*speech_share));
            sheet.tagged(
                heard_tag,
                "level",
                vec![text(law)],
                rating,
                "rating level, dB: LAeq and the speech adjustment",
            );
            (rating, heard.rows(), heard_tag)
        }
        Some(SoundLevel::Margin { margin_db }) => {
            let evidence = tag(room.scale, "margin");
            sheet.tagged(evidence, "level", vec![text(plain(*margin_db))], *margin_db, "listening margin, dB");
            let rows = room.scale.margin().rows();
            (margin_db.min(rows[rows.len() - 1].0), rows, evidence)
        }
        Some(SoundLevel::Unusable { .. }) | None => return,
    };
    let last = rows.len() - 1;
    let held = level <= rows[0].0 || (matches!(room.sound, Some(SoundLevel::Margin { .. })) && level >= rows[last].0);
    if held {
        let law = plain(if level <= rows[0].0 { rows[0].1 } else { rows[last].1 });
        sheet.tagged(evidence, "recording", vec![text(law)], value, "what the recording says: an end of the table");
        return;
    }
    let upper = (1..last).find(|&row| level <= rows[row].0).unwrap_or(last);
    let ((x0, y0), (x1, y1)) = (rows[upper - 1], rows[upper]);
    let law = vec![
        text(format!("{} + ({} - {}) * (", plain(y0), plain(y1), plain(y0))),
        named("level", level),
        text(format!(" - {})/({} - {})", plain(x0), plain(x1), plain(x0))),
    ];
    let says = "what the recording says: on the line between two rows of the table";
    sheet.tagged(evidence, "recording", law, value, says);
}

fn channel_lines(sheet: &mut Sheet, room: &Room<'_>, pulls: &Pulls, channel: Channel, value: f64) {
    let of = |pooled: bool| {
        let terms = room.terms.iter().zip(&pulls.terms);
        let chosen = terms.filter(move |(term, _)| term.item.channel == channel && term.pooled() == pooled);
        sum(chosen.map(|(term, pull)| named(term_name(term), *pull)))
    };
    let others: f64 = {
        let terms = room.terms.iter().zip(&pulls.terms);
        terms.filter(|(term, _)| term.item.channel == channel && !term.pooled()).map(|(_, pull)| pull).sum()
    };
    let name = format!("u_{channel}");
    let Some(measured) = pulls.measured[channel as usize] else {
        let terms = room.terms.iter().zip(&pulls.terms).filter(|(term, _)| term.item.channel == channel);
        let all = sum(terms.map(|(term, pull)| named(term_name(term), *pull)));
        sheet.line(&name, all, value, format!("{channel}: the checklist alone"));
        return;
    };
    let (both, other) = (format!("both_{channel}"), format!("other_{channel}"));
    let source = if channel == Channel::Heard { "recording" } else { "photo" };
    let counted = room.pooled_sum(&pulls.terms, channel);
    if room.estimated(channel) {
        sheet.line(&both, of(true), counted, format!("{channel}: items that the {source} looks at too"));
    }
    sheet.line(&other, of(false), others, format!("{channel}: items that the {source} cannot tell"));
    let mut law = Vec::new();
    if room.estimated(channel) {
        let weight = room.scale.checklist_weight(channel);
        law.extend([text(format!("{} * ", plain(weight))), named(both, counted)]);
        law.extend([text(format!(" + (1 - {}) * ", plain(weight))), named(source, measured)]);
    } else {
        law.push(named(source, measured));
    }
    law.extend([text(" + "), named(other, others)]);
    sheet.tagged(tag(room.scale, "pooling"), &name, law, value, format!("{channel}: pooled"));
}

fn share_lines(sheet: &mut Sheet, room: &Room<'_>, pulls: &Pulls, assessment: &Assessment) {
    for share in &assessment.shares {
        let channel = share.channel;
        let s = plain(room.sensitivity.of(channel));
        let measured = pulls.measured[channel as usize];
        let source = if channel == Channel::Heard { "recording" } else { "photo" };
        let weight = room.scale.checklist_weight(channel);
        let term = room.terms.iter().zip(&pulls.terms).find(|(term, _)| term.item.id.as_str() == share.id);
        let law = match (term, measured) {
            (Some((term, pull)), Some(measured)) if term.pooled() => {
                let counted = room.pooled_sum(&pulls.terms, channel);
                vec![
                    text(format!("{s} * ({} * ", plain(weight))),
                    named(term_name(term), *pull),
                    text(format!(" + (1 - {}) * ", plain(weight))),
                    named(source, measured),
                    text(" * "),
                    named(term_name(term), *pull),
                    text("/"),
                    named(format!("both_{channel}"), counted),
                    text(")"),
                ]
            }
            (Some((term, pull)), _) => vec![text(format!("{s} * ")), named(term_name(term), *pull)],
            (None, Some(measured)) if room.estimated(channel) => {
                vec![text(format!("{s} * (1 - {}) * ", plain(weight))), named(source, measured)]
            }
            (None, measured) => vec![text(format!("{s} * ")), named(source, measured.unwrap_or_default())],
        };
        let part = format!("part[{}]", share.id);
        sheet.line(&part, law, share.pull.u(), "its part of U");
        let law = vec![named(part, share.pull.u()), text("/"), named("U", assessment.pull.u())];
        sheet.line(&format!("share[{}]", share.id), law, share.share, "its share of the load");
    }
}

fn moves_line(sheet: &mut Sheet, assessment: &Assessment) {
    let moves = &assessment.first_moves;
    if moves.ids.is_empty() {
        return;
    }
    let mut law = vec![text("100 * (1 - exp(-("), named("U", assessment.pull.u())];
    let mut says = format!("the load after the first moves of {} minutes", moves.minutes);
    for id in &moves.ids {
        if let Some(share) = assessment.shares.iter().find(|share| share.id == id.as_str()) {
            law.extend([text(" - "), named(format!("part[{id}]"), share.pull.u())]);
            // Writing to a String cannot fail.
            _ = write!(says, ", {id}");
        }
    }
    law.push(text(")))"));
    sheet.line("load_after", law, moves.load_after.points(), says);
    takes_line(sheet, assessment);
}

/// The minutes of the first moves: what is each one's own, and every common work once.
fn takes_line(sheet: &mut Sheet, assessment: &Assessment) {
    let moves = &assessment.first_moves;
    let chosen = || assessment.shares.iter().filter(|share| moves.ids.iter().any(|id| id.as_str() == share.id));
    let mut common: BTreeMap<&str, f64> = BTreeMap::new();
    let mut pieces = Vec::new();
    for share in chosen() {
        let minutes = share.minutes.unwrap_or_default();
        let own = share.shares.as_ref().map_or(minutes, |shares| shares.own);
        pieces.push(text(plain(own)));
        if let Some(shares) = &share.shares {
            let most = common.entry(&shares.work).or_default();
            *most = most.max(minutes - own);
        }
    }
    let mut says = "the minutes they take".to_owned();
    for (work, minutes) in &common {
        pieces.push(text(figure(*minutes)));
        // Writing to a String cannot fail.
        _ = write!(says, ", `{work}` once");
    }
    sheet.line("takes", sum(pieces), moves.takes_minutes, says);
}
