//! What a sheet is: circles and words at places in millimetres, in the frame whose corners are the centres of the four corner
//! marks. x runs to the right from the left marks, y down from the upper ones.

use super::code::Label;
use super::plain;

/// The version of the layouts. Another place of any circle is another version.
pub const LAYOUT: u8 = 1;
/// The frame: between the centres of the corner marks, mm. With its margin it fits the printable part of A4 and of Letter.
pub const WIDTH: f64 = 168.0;
/// Its height, mm.
pub const HEIGHT: f64 = 232.0;
/// Around the frame, mm: half a corner mark and white.
pub(super) const MARGIN: f64 = 6.0;
/// Radius of a circle to fill, mm.
pub const RADIUS: f64 = 1.9;
/// A corner mark: a ring around a disc, radii in mm.
pub(super) const RING: (f64, f64) = (4.5, 3.1);
/// Its disc.
pub(super) const DISC: f64 = 1.8;
/// Radius of the dots along the edges, mm.
pub(super) const TICK: f64 = 1.0;
/// Spaces between the dots along the short and the long edges.
pub(super) const TICKS: (usize, usize) = (8, 12);
/// Where a note is written, mm: left, top, width, height.
pub(super) const NOTE: [f64; 4] = [5.0, 203.5, 158.0, 13.5];

/// The forms that are read.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Kind {
    /// A week of sittings.
    Sittings,
    /// Series of moments.
    Sampling,
    /// A week of screens.
    Screens,
    /// A page of a checklist.
    Checklist,
}

impl Kind {
    /// All of them.
    pub const ALL: [Self; 4] = [Self::Sittings, Self::Sampling, Self::Screens, Self::Checklist];

    /// The paper's name.
    pub const fn name(self) -> &'static str {
        match self {
            Self::Sittings => "session-sheet",
            Self::Sampling => "sampling-sheet",
            Self::Screens => "screen-diary",
            Self::Checklist => "checklist",
        }
    }

    /// The kind of that name.
    pub fn of_name(name: &str) -> Option<Self> {
        Self::ALL.into_iter().find(|kind| kind.name() == name)
    }

    pub(super) const fn number(self) -> u32 {
        match self {
            Self::Sittings => 0,
            Self::Sampling => 1,
            Self::Screens => 2,
            Self::Checklist => 3,
        }
    }

    pub(super) fn of_number(number: u32) -> Option<Self> {
        Self::ALL.into_iter().find(|kind| kind.number() == number)
    }
}

/// What a circle answers. The number in the brackets counts from 0.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Field {
    /// A try: 0 alone, 1 with help, 2 not right.
    Try(u8),
    /// Was the distraction on: 0 yes, 1 no.
    On,
    /// Upset: 0 yes, 1 no.
    Upset,
    /// Came willingly: 0 yes, 1 no.
    Came,
    /// Minutes of the sitting, as the option says.
    Minutes,
    /// The weekday: 0 is Monday.
    Day,
    /// A moment: 0 on task, 1 not.
    Moment(u8),
    /// Minutes before a screen; those that are filled add up.
    Screen,
    /// Who watched: 0 nobody else, 1 an adult, 2 a child.
    Who,
    /// The same again: 0 yes.
    Again,
    /// An answer: yes 0, no 1; or the place of the option; [`Field::UNSEEN`] could not be seen.
    Answer,
    /// Ones of a count.
    Ones,
    /// Tens of a count.
    Tens,
}

impl Field {
    /// The option of [`Field::Answer`] for what could not be seen.
    pub const UNSEEN: u16 = 99;

    /// Whether at most one of its circles is filled.
    pub const fn is_one_of(self) -> bool {
        !matches!(self, Self::Screen)
    }

    fn word(self) -> String {
        match self {
            Self::Try(number) => format!("try-{}", number + 1),
            Self::Moment(number) => format!("moment-{}", number + 1),
            Self::On => "on".to_owned(),
            Self::Upset => "upset".to_owned(),
            Self::Came => "willing".to_owned(),
            Self::Minutes => "minutes".to_owned(),
            Self::Day => "day".to_owned(),
            Self::Screen => "screen".to_owned(),
            Self::Who => "who".to_owned(),
            Self::Again => "again".to_owned(),
            Self::Answer => "answer".to_owned(),
            Self::Ones => "ones".to_owned(),
            Self::Tens => "tens".to_owned(),
        }
    }
}

/// A circle to fill.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Circle {
    /// Its centre, mm.
    pub x: f64,
    /// Its centre, mm.
    pub y: f64,
    /// The line, day, series or question it belongs to, from 0.
    pub row: u8,
    /// What it answers.
    pub field: Field,
    /// With what.
    pub option: u16,
}

impl Circle {
    /// Its name for programs: `2.try-3.0`.
    pub fn name(&self) -> String {
        format!("{}.{}.{}", self.row + 1, self.field.word(), self.option)
    }
}

/// Words that stand on a sheet; which ones a language says is not known here.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Words {
    /// The title.
    Title,
    /// Alias, place, week and so on.
    Head,
    /// How it is filled.
    How,
    /// The day of a row.
    Day(u8),
    /// A number.
    Number(u16),
    /// Of a circle or of a column of circles.
    Option(Field, u16),
    /// The question of a field.
    Name(Field),
    /// What is written into a line by hand.
    What,
    /// A line to write on.
    Line,
    /// The strip for a note.
    Note,
    /// What the sheet says of itself, in figures for people.
    Label,
    /// A question of a checklist.
    Question(u8),
    /// An option of a question.
    Choice(u8, u16),
}

/// Words with their place.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Text {
    /// Left edge, mm.
    pub x: f64,
    /// Upper edge, mm.
    pub y: f64,
    /// Width, mm.
    pub width: f64,
    /// Height, mm.
    pub height: f64,
    /// Which.
    pub words: Words,
}

/// A sheet.
#[derive(Clone, Debug, PartialEq)]
pub struct Sheet {
    /// What it says of itself.
    pub label: Label,
    /// Its circles.
    pub circles: Vec<Circle>,
    /// Its words.
    pub texts: Vec<Text>,
}

impl Sheet {
    /// The sheet of a form whose layout does not hang on words.
    pub fn plain(label: Label) -> Option<Self> {
        let (circles, texts) = match label.kind {
            Kind::Sittings => plain::sittings(),
            Kind::Sampling => plain::sampling(),
            Kind::Screens => plain::screens(),
            Kind::Checklist => return None,
        };
        Some(Self { label, circles, texts })
    }
}

/// The places of the dots along the edges, with corners left out.
pub(super) fn ticks() -> impl Iterator<Item = (f64, f64)> {
    let (across, down) = TICKS;
    let short = move |at: usize| WIDTH * at as f64 / across as f64;
    let long = move |at: usize| HEIGHT * at as f64 / down as f64;
    let rows = (1..across).flat_map(move |at| [(short(at), 0.0), (short(at), HEIGHT)]);
    rows.chain((1..down).flat_map(move |at| [(0.0, long(at)), (WIDTH, long(at))]))
}

/// A circle, in the order of what is meant.
pub fn marked(x: f64, y: f64, row: u8, field: Field, option: u16) -> Circle {
    Circle { x, y, row, field, option }
}
