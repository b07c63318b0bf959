//! Lines as they reach the screen: long ones wrapped, and in another language than English said again, columns kept.

use super::paint::WIDTH;

/// Between what stands first on a line and the text that is wrapped after it. No text of people holds it.
pub(super) const WRAP: char = '\u{1e}';

/// Says a text in another language.
pub(super) type Say<'s> = &'s dyn Fn(&str) -> String;

/// Two spaces or more part the cells of a line.
const GAP: usize = 2;

/// What is printed: wrapped, and said again where a language is given.
pub(super) fn laid_out(text: &str, say: Option<Say<'_>>) -> String {
    if !text.contains(WRAP) && say.is_none() {
        return text.to_owned();
    }
    let mut out = String::with_capacity(text.len());
    let mut rows: Vec<&str> = Vec::new();
    for line in text.split_inclusive('\n') {
        let (words, end) = line.strip_suffix('\n').map_or((line, ""), |words| (words, "\n"));
        if let Some((first, rest)) = words.split_once(WRAP) {
            flush(&mut rows, say, &mut out);
            match say {
                Some(say) => out.push_str(&wrap(&row(first, say), &spoken(rest, say))),
                None => out.push_str(&wrap(first, rest)),
            }
            out.push_str(end);
        } else if say.is_some() {
            // Rows of as many cells as the one before are one table.
            let alike = rows.last().is_none_or(|last| cells(last).len() == cells(words).len());
            if !alike || end.is_empty() {
                flush(&mut rows, say, &mut out);
            }
            match say.filter(|_| end.is_empty()) {
                // What a question is asked with ends in spaces, which stay.
                Some(say) => out.push_str(&asked(words, say)),
                None => rows.push(words),
            }
        } else {
            out.push_str(line);
        }
    }
    flush(&mut rows, say, &mut out);
    out
}

/// `text` in lines of at most [`WIDTH`] signs, the first after `first`, the others after as many spaces.
fn wrap(first: &str, text: &str) -> String {
    let indent = " ".repeat(first.chars().count());
    let mut out = String::new();
    let mut line = first.to_owned();
    let mut empty = true;
    for word in text.split_whitespace() {
        if !empty && line.chars().count() + 1 + word.chars().count() > WIDTH {
            out.push_str(line.trim_end());
            out.push('\n');
            line.clone_from(&indent);
            empty = true;
        }
        if !empty {
            line.push(' ');
        }
        line.push_str(word);
        empty = false;
    }
    out.push_str(line.trim_end());
    out
}

/// Columns on the screen: signs without the codes that make them bold.
fn width(text: &str) -> usize {
    let mut hidden = false;
    let mut count = 0;
    for sign in text.chars() {
        match (hidden, sign) {
            (false, '\u{1b}') => hidden = true,
            (true, 'm' | 'K') => hidden = false,
            (false, _) => count += 1,
            _ => {}
        }
    }
    count
}

/// The cells of a row with the column each begins at.
fn cells(row: &str) -> Vec<(usize, &str)> {
    let mut cells = Vec::new();
    let mut rest = row;
    let mut column = 0;
    loop {
        let trimmed = rest.trim_start_matches(' ');
        column += rest.len() - trimmed.len();
        if trimmed.is_empty() {
            return cells;
        }
        let end = trimmed.find("  ").unwrap_or(trimmed.len());
        cells.push((column, &trimmed[..end]));
        column += width(&trimmed[..end]);
        rest = &trimmed[end..];
    }
}

fn flush(rows: &mut Vec<&str>, say: Option<Say<'_>>, out: &mut String) {
    let Some(say) = say else { return };
    let table: Vec<Vec<(usize, &str)>> = rows.iter().map(|row| cells(row)).collect();
    let said: Vec<Vec<String>> =
        table.iter().map(|row| row.iter().map(|(_, cell)| spoken(cell, say)).collect()).collect();
    let columns = table.iter().map(Vec::len).max().unwrap_or(0);
    // How much each column moves to the right, so that the longest word before it fits.
    let mut shifts = vec![0; columns];
    for column in 1..columns {
        let needed = table.iter().zip(&said).filter_map(|(row, said)| {
            let ((before, _), (at, _)) = (row.get(column - 1)?, row.get(column)?);
            Some((before + width(&said[column - 1]) + GAP).saturating_sub(*at))
        });
        shifts[column] = shifts[column - 1] + needed.max().unwrap_or(0);
    }
    for (row, said) in table.iter().zip(&said) {
        let mut line = String::new();
        let mut here = 0;
        for ((start, _), (words, shift)) in row.iter().zip(said.iter().zip(&shifts)) {
            let start = start + shift;
            line.push_str(&" ".repeat(start.saturating_sub(here)));
            line.push_str(words);
            here = here.max(start) + width(words);
        }
        out.push_str(&line);
        out.push('\n');
    }
    rows.clear();
}

/// What stands before a reply: signs that steer the line before and after it stay.
fn asked(prompt: &str, say: Say<'_>) -> String {
    let steers = |sign: char| sign.is_control() || sign == ' ';
    let words = prompt.trim_start_matches(steers);
    let (before, words) = prompt.split_at(prompt.len() - words.len());
    let end = words.trim_end().strip_suffix("\u{1b}[K").unwrap_or(words).trim_end().len();
    let (words, after) = words.split_at(end);
    format!("{before}{}{after}", spoken(words, say))
}

/// A row on its own, as it stands before wrapped text: its spaces at the end stay.
fn row(first: &str, say: Say<'_>) -> String {
    let trimmed = first.trim_end_matches(' ');
    let (before, words) = trimmed.split_at(trimmed.len() - trimmed.trim_start_matches(' ').len());
    let mut said = format!("{before}{}", spoken(words, say));
    let wanted = width(first).max(if trimmed.len() < first.len() { width(&said) + 1 } else { 0 });
    while width(&said) < wanted {
        said.push(' ');
    }
    said
}

/// A cell said again; bold words stay bold where they are said on their own.
fn spoken(cell: &str, say: Say<'_>) -> String {
    const ON: &str = "\u{1b}[1m";
    const OFF: &str = "\u{1b}[0m";
    let Some((before, bold, after)) =
        cell.split_once(ON).and_then(|(before, rest)| rest.split_once(OFF).map(|(bold, after)| (before, bold, after)))
    else {
        return if cell.chars().any(char::is_alphabetic) || cell.contains('.') { say(cell) } else { cell.to_owned() };
    };
    let whole = format!("{before}{bold}{after}");
    let said = say(&whole);
    match (before.trim().is_empty(), after.trim().is_empty()) {
        (true, true) => format!("{before}{ON}{}{OFF}{after}", say(bold)),
        // The bold words lead a sentence that is known as a whole: as many words stay bold where they still lead it.
        _ if said != whole => match said.strip_prefix(bold) {
            Some(rest) => format!("{ON}{bold}{OFF}{rest}"),
            None => said,
        },
        _ => format!("{}{ON}{}{OFF}{}", say(before), say(bold), say(after)),
    }
}

#[cfg(test)]
mod tests {
    use super::{WIDTH, laid_out};
    use crate::cli::paint::wrapped;

    #[test]
    fn lines_are_wrapped_below_their_first_word() {
        let text = laid_out(&wrapped("  1. ", &"word ".repeat(60)), None);
        assert!(text.lines().count() > 2 && text.lines().all(|line| line.chars().count() <= WIDTH));
        assert!(text.lines().skip(1).all(|line| line.starts_with("     word")));
    }

    #[test]
    fn a_longer_word_moves_the_columns_of_its_table() {
        let say = |text: &str| text.replace("one", "the first").replace("two", "2nd");
        assert_eq!(
            laid_out("  one  1.0 dB\n  two  2.0 dB\n", Some(&say)),
            "  the first  1.0 dB\n  2nd        2.0 dB\n"
        );
        assert_eq!(laid_out("one two\n\nthree", Some(&say)), "the first 2nd\n\nthree");
        assert_eq!(laid_out("\r\u{7}one > \u{1b}[K", Some(&say)), "\r\u{7}the first > \u{1b}[K");
    }

    #[test]
    fn a_label_before_wrapped_text_keeps_its_column() {
        let say = |text: &str| if text == "check" { "comprobar".to_owned() } else { text.to_owned() };
        assert_eq!(laid_out(&wrapped("  check     ", "a b"), Some(&say)), "  comprobar a b\n");
        assert_eq!(laid_out(&wrapped("  - ", "a b"), Some(&say)), "  - a b\n");
    }
}
