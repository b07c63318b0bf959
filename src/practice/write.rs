//! A session log back to CSV: the fixed columns first, then the optional ones in use, then the further ones.

use super::details::{DETAILS, cell};
use super::parse::{COLUMNS, OPTIONAL};
use super::session::{Log, Session};

impl Log {
    /// The log as CSV text that [`super::parse`] reads back to the same log.
    pub fn to_csv(&self) -> String {
        let used: Vec<&str> = OPTIONAL
            .into_iter()
            .filter(|column| self.sessions().iter().any(|session| !optional(session, column).is_empty()))
            .collect();
        let noted: Vec<&str> = DETAILS
            .into_iter()
            .filter(|column| self.sessions().iter().any(|session| !cell(session, column).is_empty()))
            .collect();
        let mut text = String::new();
        let known = COLUMNS.into_iter().chain(used.iter().copied()).chain(noted.iter().copied());
        let header = known.chain(self.further().iter().map(String::as_str));
        push_line(&mut text, header.map(str::to_owned));
        for session in self.sessions() {
            let further = (0..self.further().len()).map(|at| session.further.get(at).cloned().unwrap_or_default());
            let optional = used.iter().map(|column| optional(session, column));
            let noted = noted.iter().map(|column| cell(session, column));
            push_line(&mut text, required(session).into_iter().chain(optional).chain(noted).chain(further));
        }
        text
    }
}

fn required(session: &Session) -> [String; COLUMNS.len()] {
    let yes_no = |yes: bool| if yes { "yes" } else { "no" }.to_owned();
    [
        session.date.to_string(),
        session.rung.to_string(),
        session.opportunities.to_string(),
        session.independent.to_string(),
        session.prompted.to_string(),
        session.errors.to_string(),
        u8::from(session.distress).to_string(),
        yes_no(session.assent),
        yes_no(session.distractor_on),
        session.minutes.map(|minutes| minutes.to_string()).unwrap_or_default(),
        session.note.clone(),
    ]
}

fn optional(session: &Session, column: &str) -> String {
    let text = match column {
        "task" => &session.task,
        "place" => &session.place,
        "by" => &session.by,
        "exemplar" => &session.exemplar,
        _ => return if session.after { "1".to_owned() } else { String::new() },
    };
    text.clone().unwrap_or_default()
}

fn push_line(text: &mut String, cells: impl Iterator<Item = String>) {
    for (at, cell) in cells.enumerate() {
        if at > 0 {
            text.push(',');
        }
        if cell.contains(['"', ',', '\n', '\r']) {
            text.push('"');
            text.push_str(&cell.replace('"', "\"\""));
            text.push('"');
        } else {
            text.push_str(&cell);
        }
    }
    text.push('\n');
}
