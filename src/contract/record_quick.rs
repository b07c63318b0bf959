//! A quick reader of sessions and decisions, for whoever looks through a thousand cases at once.
//!
//! Most records of a case are sessions, and nearly all of them stand in the one form that this program writes. That form is
//! read here line by line; whatever differs from it in any way (another order, an escape, a comment, a field that was added
//! since) gives `None` and goes to the full reader. So this reader never decides what a record is: it gives what the full
//! reader gives, or nothing.

use super::NoteDoc;
use super::record::{RECORD_FORMAT, RecordBody, RecordDoc, SessionBody};
use super::record_kinds::DecisionBody;
use super::record_practice::{DetailsBody, PromptsBody};

/// A session or a decision in the plain form.
pub(super) fn quick(text: &str) -> Option<RecordDoc> {
    let mut lines = Lines(text);
    let format = lines.text("format = ")?;
    let date = lines.text("date = ")?;
    let written = lines.text("written = ")?;
    let by = lines.text_or_none("by = ")?;
    let replaces = lines.text_or_none("replaces = ")?;
    let body = if lines.head("\n[session]\n").is_some() {
        RecordBody::Session(lines.session()?)
    } else {
        lines.head("\n[decision]\n")?;
        RecordBody::Decision(lines.decision()?)
    };
    let known = format == RECORD_FORMAT && lines.0.is_empty();
    known.then_some(RecordDoc { format, date, written, by, replaces, body })
}

/// What is still to be read.
struct Lines<'a>(&'a str);

impl<'a> Lines<'a> {
    /// A table's head.
    fn head(&mut self, head: &str) -> Option<()> {
        self.0 = self.0.strip_prefix(head)?;
        Some(())
    }

    /// What stands behind `key` on the next line; `None` where that line is another one.
    fn value(&mut self, key: &str) -> Option<&'a str> {
        let (value, rest) = self.0.strip_prefix(key)?.split_once('\n')?;
        self.0 = rest;
        Some(value)
    }

    fn text(&mut self, key: &str) -> Option<String> {
        self.value(key).and_then(text)
    }

    fn number(&mut self, key: &str) -> Option<u32> {
        self.value(key).and_then(number)
    }

    fn truth(&mut self, key: &str) -> Option<bool> {
        match self.value(key)? {
            "true" => Some(true),
            "false" => Some(false),
            _ => None,
        }
    }

    /// A line that may be left out: `Some(None)` where it is, `None` where it is there and not plain.
    fn text_or_none(&mut self, key: &str) -> Option<Option<String>> {
        self.value(key).map_or(Some(None), |value| text(value).map(Some))
    }

    fn number_or_none(&mut self, key: &str) -> Option<Option<u32>> {
        self.value(key).map_or(Some(None), |value| number(value).map(Some))
    }

    fn session(&mut self) -> Option<SessionBody> {
        Some(SessionBody {
            rung: self.number("rung = ")?,
            opportunities: self.number("opportunities = ")?,
            independent: self.number("independent = ")?,
            prompted: self.number("prompted = ")?,
            errors: self.number("errors = ")?,
            distress: self.truth("distress = ")?,
            assent: self.truth("assent = ")?,
            distractor_on: self.truth("distractor_on = ")?,
            minutes: self.number_or_none("minutes = ")?,
            note: self.text_or_none("note = ")?.unwrap_or_default(),
            task: self.text_or_none("task = ")?,
            place: self.text_or_none("place = ")?,
            exemplar: self.text_or_none("exemplar = ")?,
            after: self.truth("after = ")?,
            details: self.details()?,
        })
    }

    fn details(&mut self) -> Option<DetailsBody> {
        if self.head("\n[session.details]\n").is_none() {
            return Some(DetailsBody::default());
        }
        let details = DetailsBody {
            time: self.text_or_none("time = ")?,
            prompts: None,
            attention_s: self.number_or_none("attention_s = ")?,
            latency_s: self.number_or_none("latency_s = ")?,
            breaks: self.number_or_none("breaks = ")?,
            reinforcer: self.text_or_none("reinforcer = ")?,
            observer: self.text_or_none("observer = ")?,
            read_from: self.text_or_none("read_from = ")?,
        };
        // A table stands behind the plain lines of the one that holds it.
        let prompts = match self.head("\n[session.details.prompts]\n") {
            None => None,
            Some(()) => Some(PromptsBody {
                gesture: self.number("gesture = ")?,
                model: self.number("model = ")?,
                partial: self.number("partial = ")?,
                full: self.number("full = ")?,
            }),
        };
        Some(DetailsBody { prompts, ..details })
    }

    fn decision(&mut self) -> Option<DecisionBody> {
        let mut body = DecisionBody {
            rung: self.number("rung = ")?,
            decision: self.text("decision = ")?,
            sessions_to: self.text_or_none("sessions_to = ")?,
            reasons: Vec::new(),
            task: self.text_or_none("task = ")?,
            place: self.text_or_none("place = ")?,
            ladder: self.text_or_none("ladder = ")?,
            signed_by: self.text_or_none("signed_by = ")?,
            recommended: self.text_or_none("recommended = ")?,
            why: self.text_or_none("why = ")?,
            lifts_pause: self.truth("lifts_pause = ")?,
        };
        while self.head("\n[[decision.reasons]]\n").is_some() {
            body.reasons.push(NoteDoc { code: self.text("code = ")?, text: self.text("text = ")? });
        }
        Some(body)
    }
}

/// A basic string without escapes: TOML 1.0, "String". Control signs are not allowed in one; a tab is, and is left to the
/// full reader.
fn text(value: &str) -> Option<String> {
    let inner = value.strip_prefix('"')?.strip_suffix('"')?;
    let plain = inner.bytes().all(|byte| byte >= b' ' && !matches!(byte, b'"' | b'\\' | 0x7f));
    plain.then(|| inner.to_owned())
}

/// A whole number without sign, leading zeros or underscores.
fn number(value: &str) -> Option<u32> {
    let digits = value.bytes().all(|byte| byte.is_ascii_digit());
    let plain = digits && (value.len() == 1 || !value.starts_with('0'));
    if plain { value.parse().ok() } else { None }
}

#[cfg(test)]
mod tests {
    use proptest::prelude::*;

    use super::super::record_read::read_fully;
    use super::{
        DecisionBody, DetailsBody, NoteDoc, PromptsBody, RECORD_FORMAT, RecordBody, RecordDoc, SessionBody, quick,
    };

    /// Words as people type them, and as nobody does.
    fn words() -> impl Strategy<Value = String> {
        prop_oneof![
            4 => "[a-zA-Z0-9äéñ ,.:=#\\[\\]-]{0,24}",
            1 => "\\PC{0,8}",
            1 => any::<String>(),
            1 => "[\"'\\\\\n\r\t\u{7f}]{1,3}",
        ]
    }

    fn maybe<T: std::fmt::Debug>(one: impl Strategy<Value = T>) -> impl Strategy<Value = Option<T>> {
        proptest::option::of(one)
    }

    fn details() -> impl Strategy<Value = DetailsBody> {
        let prompts = maybe((any::<u32>(), 0..4u32, 0..4u32, 0..4u32));
        let texts = (maybe(words()), maybe(words()), maybe(words()), maybe(words()));
        let numbers = (maybe(any::<u32>()), maybe(0..9u32), maybe(0..9u32));
        (prompts, texts, numbers).prop_map(|(prompts, texts, numbers)| DetailsBody {
            time: texts.0,
            prompts: prompts.map(|(gesture, model, partial, full)| PromptsBody { gesture, model, partial, full }),
            attention_s: numbers.0,
            latency_s: numbers.1,
            breaks: numbers.2,
            reinforcer: texts.1,
            observer: texts.2,
            read_from: texts.3,
        })
    }

    fn session() -> impl Strategy<Value = RecordBody> {
        let numbers = ((0..12u32, any::<u32>(), 0..12u32, 0..12u32), maybe(any::<u32>()), 0..12u32);
        let truths = any::<[bool; 4]>();
        let texts = (words(), maybe(words()), maybe(words()), maybe(words()));
        let details = prop_oneof![Just(DetailsBody::default()), details()];
        (numbers, truths, texts, details).prop_map(|(numbers, truths, texts, details)| {
            let ((rung, opportunities, independent, prompted), minutes, errors) = numbers;
            let [distress, assent, distractor_on, after] = truths;
            let (note, task, place, exemplar) = texts;
            RecordBody::Session(SessionBody {
                rung,
                opportunities,
                independent,
                prompted,
                errors,
                distress,
                assent,
                distractor_on,
                minutes,
                note,
                task,
                place,
                exemplar,
                after,
                details,
            })
        })
    }

    fn decision() -> impl Strategy<Value = RecordBody> {
        let texts = (words(), maybe(words()), maybe(words()), maybe(words()), maybe(words()), maybe(words()));
        let reasons = proptest::collection::vec((words(), words()), 0..4);
        let more = (maybe(words()), maybe(words()));
        (any::<u32>(), any::<bool>(), texts, reasons, more).prop_map(|(rung, lifts_pause, texts, reasons, more)| {
            let (decision, sessions_to, task, place, ladder, signed_by) = texts;
            let reasons = reasons.into_iter().map(|(code, text)| NoteDoc { code, text }).collect();
            let (recommended, why) = more;
            RecordBody::Decision(DecisionBody {
                rung,
                decision,
                sessions_to,
                reasons,
                task,
                place,
                ladder,
                signed_by,
                recommended,
                why,
                lifts_pause,
            })
        })
    }

    fn record() -> impl Strategy<Value = RecordDoc> {
        let body = prop_oneof![session(), decision()];
        (maybe(words()), maybe("[0-9a-f]{16}"), body).prop_map(|(by, replaces, body)| {
            let (date, written) = ("2026-10-20".to_owned(), "2026-10-20T09:00:00.5Z".to_owned());
            RecordDoc { format: RECORD_FORMAT.to_owned(), date, written, by, replaces, body }
        })
    }

    /// What is changed in a text, at a place given as a share of it.
    fn damage() -> impl Strategy<Value = (f64, usize, String)> {
        let pieces =
            ["\n", "\r", "\t", "\"", "\"\"\"", "'", "\\u0041", "0", "_", "+", "-", " ", "#", "rung = 1\n", "[x]\n", ""];
        (0.0..1.0f64, 0..12usize, prop_oneof![prop::sample::select(pieces.to_vec()).prop_map(str::to_owned), "\\PC"])
    }

    fn damaged(text: &str, (share, cut, piece): &(f64, usize, String)) -> String {
        let place = |at: usize| (0..=at.min(text.len())).rev().find(|at| text.is_char_boundary(*at)).unwrap_or(0);
        #[expect(clippy::cast_possible_truncation, clippy::cast_sign_loss, reason = "a share of a length is a length")]
        let at = (text.len() as f64 * share) as usize;
        format!("{}{piece}{}", &text[..place(at)], &text[place(at + cut)..])
    }

    proptest! {
        #![proptest_config(ProptestConfig::with_cases(2000))]
        #[test]
        fn what_is_read_quickly_is_what_the_full_reader_reads(record in record(), damage in damage()) {
            let text = toml::to_string(&record).unwrap();
            prop_assert_eq!(read_fully(&text), Ok(record.clone()));
            if let Some(read) = quick(&text) {
                prop_assert_eq!(read, record);
            }
            let text = damaged(&text, &damage);
            if let Some(read) = quick(&text) {
                prop_assert_eq!(Ok(read), read_fully(&text));
            }
        }
    }

    #[test]
    fn what_this_program_writes_is_read_quickly_and_nothing_else() {
        let head = "format = \"stillroom.record/1\"\ndate = \"2026-10-20\"\nwritten = \"2026-10-20T09:00:00Z\"\n";
        let session = "\n[session]\nrung = 1\nopportunities = 10\nindependent = 8\nprompted = 1\nerrors = 1\ndistress = false\n\
                       assent = true\ndistractor_on = true\nminutes = 9\nnote = \"calm, á\"\nafter = false\n";
        let details = "\n[session.details]\ntime = \"16:30\"\nbreaks = 2\n\n[session.details.prompts]\ngesture = 1\nmodel = 0\n\
                       partial = 0\nfull = 0\n";
        let decision = "\n[decision]\nrung = 1\ndecision = \"hold\"\nlifts_pause = false\n";
        let reason = "\n[[decision.reasons]]\ncode = \"few\"\ntext = \"one session so far\"\n";
        for body in [session.to_owned(), format!("{session}{details}"), format!("{decision}{reason}{reason}")] {
            let text = format!("{head}by = \"parent\"\n{body}");
            let read = quick(&text);
            assert!(read.is_some(), "{text}");
            assert_eq!(read, read_fully(&text).ok());
            assert_eq!(
                toml::to_string(&read).unwrap(),
                text,
                "the form has changed: the quick reader no longer knows it"
            );
            for other in ["# a comment\n", "mood = \"new\"\n", "\n", "[session]\n"] {
                assert_eq!(quick(&format!("{text}{other}")), None, "{other:?}");
            }
            assert_eq!(quick(&text.replace("record/1", "record/2")), None);
            assert_eq!(quick(&text.replace("rung = 1", "rung = 01")), None);
            assert_eq!(quick(&text.replace("rung = 1", "rung = 4294967296")), None);
        }
    }
}
