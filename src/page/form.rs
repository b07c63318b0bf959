//! Forms: what was typed stays in its field, and what was refused is said beside it, in the words of the terminal.

use maud::{Markup, html};

use super::asked::Asked;
use super::desk::{Desk, HELD};
use super::frame;
use crate::language::{Said, Speaker};
use crate::tasks::Refusal;

/// A refusal and the field it is about; without a field it stands above the form.
#[derive(Clone, Debug)]
pub(super) struct Wrong {
    /// What was refused.
    pub(super) refusal: Box<Refusal>,
    /// The name of the field.
    pub(super) field: Option<String>,
    /// The name of a file that is of no use and is not held.
    pub(super) file: Option<String>,
}

impl Wrong {
    /// A refusal about that field.
    pub(super) fn about(field: &str, refusal: Refusal) -> Self {
        Self { refusal: Box::new(refusal), field: Some(field.to_owned()), file: None }
    }

    /// The same, about that file of its field.
    #[must_use]
    pub(super) fn of_file(mut self, name: &str) -> Self {
        self.file = Some(name.to_owned());
        self
    }
}

impl From<Refusal> for Wrong {
    fn from(refusal: Refusal) -> Self {
        Self { refusal: Box::new(refusal), field: None, file: None }
    }
}

/// Says which field a refusal is about.
pub(super) trait Beside<T> {
    /// The same, about that field.
    fn beside(self, field: &str) -> Result<T, Wrong>;
}

impl<T, E: Into<Refusal>> Beside<T> for Result<T, E> {
    fn beside(self, field: &str) -> Result<T, Wrong> {
        self.map_err(|fault| Wrong::about(field, fault.into()))
    }
}

/// A form that was sent and why it was refused.
pub(super) type Refused<'a> = (&'a Asked, &'a [Wrong]);

/// Holds the files of a form that was refused, but for those that are of no use.
pub(super) fn hold(mut asked: Asked, wrong: &[Wrong], desk: &Desk) -> Asked {
    asked.files.retain(|file| {
        !wrong.iter().any(|one| one.field.as_ref() == Some(&file.field) && one.file.as_ref() == Some(&file.name))
    });
    desk.hold(&mut asked);
    asked
}

/// A form as it is shown.
#[derive(Clone, Copy, Debug)]
pub(super) struct Form<'a> {
    speaker: &'a Speaker,
    asked: Option<&'a Asked>,
    wrong: &'a [Wrong],
}

impl<'a> Form<'a> {
    /// The form that is sent to that address, with what was typed into it if it was refused.
    pub(super) fn new(speaker: &'a Speaker, refused: Option<Refused<'a>>, action: &str) -> Self {
        match refused.filter(|(asked, _)| asked.path == action) {
            Some((asked, wrong)) => Self { speaker, asked: Some(asked), wrong },
            None => Self { speaker, asked: None, wrong: &[] },
        }
    }

    /// Whether this form was refused.
    pub(super) const fn is_refused(&self) -> bool {
        self.asked.is_some()
    }

    /// What stands in a field: what was typed, else what is ready.
    pub(super) fn value(&self, name: &str, ready: &str) -> String {
        match self.asked {
            Some(asked) => asked.fields.get(name).and_then(|all| all.last()).cloned().unwrap_or_default(),
            None => ready.to_owned(),
        }
    }

    /// Whether a choice is made: as it was sent, else as it is ready.
    pub(super) fn chosen(&self, name: &str, value: &str, ready: bool) -> bool {
        self.asked.map_or(ready, |asked| asked.all(name).contains(&value))
    }

    /// Whether one of these fields was refused.
    pub(super) fn any_wrong(&self, names: &[&str]) -> bool {
        names.iter().any(|name| self.of(name).is_some())
    }

    /// What was refused and belongs to no field.
    pub(super) fn top(&self) -> Markup {
        html! { @for one in self.wrong.iter().filter(|one| one.field.is_none()) { (frame::refused(self.speaker, &one.refusal)) } }
    }

    /// What tells which files are held for this form.
    pub(super) fn held(&self) -> Markup {
        let number = self.asked.filter(|asked| !asked.files.is_empty()).and_then(|asked| asked.field(HELD));
        html! { @if let Some(number) = number { input type="hidden" name=(HELD) value=(number); } }
    }

    fn of(&self, name: &str) -> Option<&Refusal> {
        self.wrong.iter().find(|one| one.field.as_deref() == Some(name)).map(|one| one.refusal.as_ref())
    }

    /// Whether the cursor goes there: to the first field that was refused.
    fn first(&self, name: &str) -> bool {
        self.wrong.iter().find_map(|one| one.field.as_deref()) == Some(name)
    }

    /// What was refused of a field.
    pub(super) fn wrong(&self, name: &str) -> Markup {
        html! { @if let Some(refusal) = self.of(name) { div.wrong id={ (name) "-wrong" } { (frame::wrong(refusal)) } } }
    }

    /// The ids of what describes a field: its help, and what was refused of it.
    fn described(&self, name: &str, help: bool) -> Option<String> {
        let help = help.then(|| format!("{name}-help"));
        let wrong = self.of(name).map(|_| format!("{name}-wrong"));
        let ids: Vec<String> = help.into_iter().chain(wrong).collect();
        (!ids.is_empty()).then(|| ids.join(" "))
    }

    fn invalid(&self, name: &str) -> Option<&'static str> {
        self.of(name).map(|_| "true")
    }

    fn labelled(&self, name: &str, label: &str, help: Option<&str>, input: &Markup) -> Markup {
        html! {
            div.field {
                label for=(name) { (self.speaker.say(label)) }
                @if let Some(help) = help { p.help id={ (name) "-help" } { (self.speaker.say(help)) } }
                (self.wrong(name))
                (input)
            }
        }
    }

    /// A line to type into.
    pub(super) fn text(&self, name: &str, label: &str, ready: &str, help: Option<&str>) -> Markup {
        let input = html! {
            input type="text" id=(name) name=(name) value=(self.value(name, ready)) autocomplete="off"
                aria-describedby=[self.described(name, help.is_some())] aria-invalid=[self.invalid(name)] autofocus[self.first(name)];
        };
        self.labelled(name, label, help, &input)
    }

    /// A whole number to type.
    pub(super) fn number(&self, name: &str, label: &str, ready: &str, help: Option<&str>) -> Markup {
        let input = html! {
            input type="text" inputmode="numeric" size="6" id=(name) name=(name) value=(self.value(name, ready)) autocomplete="off"
                aria-describedby=[self.described(name, help.is_some())] aria-invalid=[self.invalid(name)] autofocus[self.first(name)];
        };
        self.labelled(name, label, help, &input)
    }

    /// Lines to type, one thing a line.
    pub(super) fn lines(&self, name: &str, label: &str, ready: &str, help: &str) -> Markup {
        // Browsers take away one line break at the beginning.
        let input = html! {
            textarea id=(name) name=(name) rows="4" aria-describedby=[self.described(name, true)] aria-invalid=[self.invalid(name)]
                autofocus[self.first(name)] { "\n" (self.value(name, ready)) }
        };
        html! {
            div.field {
                label for=(name) { (self.speaker.say(label)) }
                p.help id={ (name) "-help" } { (help) }
                (self.wrong(name))
                (input)
            }
        }
    }

    /// A file to choose; what was sent with a form that was refused is still here.
    pub(super) fn file(&self, name: &str, label: &str, accept: &str, several: bool, help: Option<&str>) -> Markup {
        let here: Vec<&str> = self
            .asked
            .into_iter()
            .flat_map(|asked| asked.files.iter().filter(|file| file.field == name).map(|file| file.name.as_str()))
            .collect();
        let input = html! {
            @if !here.is_empty() {
                p.quiet { (self.speaker.say_with("page-still-here", &[("files", Said::Words(here.join(", ")))])) }
            }
            input type="file" id=(name) name=(name) accept=(accept) multiple[several]
                aria-describedby=[self.described(name, help.is_some())] aria-invalid=[self.invalid(name)] autofocus[self.first(name)];
        };
        self.labelled(name, label, help, &input)
    }

    /// One of several things; each with its value and its words.
    pub(super) fn choice(&self, name: &str, label: &str, ready: &str, tall: bool, all: &[(&str, String)]) -> Markup {
        let first = self.first(name);
        html! {
            fieldset aria-describedby=[self.described(name, false)] {
                legend { (self.speaker.say(label)) }
                (self.wrong(name))
                @for (at, (value, words)) in all.iter().enumerate() {
                    label.pick.tall[tall] {
                        input type="radio" name=(name) value=(value) checked[self.chosen(name, value, *value == ready)] autofocus[first && at == 0];
                        span { (words) }
                    }
                }
            }
        }
    }

    /// Yes or no, with nothing taken for granted.
    pub(super) fn yes_no(&self, name: &str, label: &str) -> Markup {
        let words = [("yes", self.speaker.say("word-yes")), ("no", self.speaker.say("word-no"))];
        self.choice(name, label, "", false, &words)
    }

    /// Something to tick.
    pub(super) fn tick(&self, name: &str, label: &str) -> Markup {
        html! {
            div.field { label.pick { input type="checkbox" name=(name) value="yes" checked[self.chosen(name, "yes", false)]; span { (self.speaker.say(label)) } } }
        }
    }
}
