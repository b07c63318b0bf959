//! Filled sheets by photo: read, checked against the case, asked about. Nothing is stored here (`sheets_kept.rs`).

use std::collections::{BTreeMap, BTreeSet};
use std::path::Path;

use jiff::civil::Date;

use crate::case::Case;
use crate::checklist::shipped;
use crate::contract::{DoubtDoc, SheetBody, SheetReadDoc};
use crate::language::{Language, Speaker};
use crate::paper::{Circle, Field, Filled, Kind, LAYOUT, Label, Seen, Sheet, alias_code, seen, spoken};
use crate::photo::Pixels;
use crate::report::papers::checklist_pages;
use crate::words::printable;

use super::cases;
use super::checklists::{self, ReadChecklist};
use super::files::Named;
use super::papers::monday_of_week;
use super::refusal::Refusal;
use super::sheet_words;
use super::sheets_before::read_before;

/// What a sheet is checked against.
#[derive(Clone, Debug)]
pub struct Against<'a> {
    /// The case.
    pub case: Option<&'a Path>,
    /// The language spoken.
    pub language: Language,
    /// A checklist of one's own.
    pub list: Option<ReadChecklist>,
    /// The rung, where somebody said it.
    pub rung: Option<u32>,
}

/// A circle as it stands now.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Spot {
    /// The circle.
    pub circle: Circle,
    /// How much of it is covered.
    pub ink: f64,
    /// How sure the reading is.
    pub confidence: f64,
    /// What holds.
    pub filled: Filled,
}

/// A sheet that was read.
#[derive(Clone, Debug)]
pub struct ReadSheet {
    /// The photo's name.
    pub file: String,
    /// Its layout.
    pub sheet: Sheet,
    /// The checklist it belongs to.
    pub list: Option<ReadChecklist>,
    /// Its circles.
    pub spots: Vec<Spot>,
    /// What was asked and answered: `NAME = yes`.
    pub asked: Vec<String>,
    /// What was read surely and corrected.
    pub corrected: Vec<String>,
    /// The case holds all of it already.
    pub already: bool,
    /// Its rows that the case holds already, from 0.
    pub before: BTreeSet<u8>,
    /// Those of them that read differently now, in words.
    pub changed: Vec<String>,
    seen: Option<Seen>,
}

/// Reads the sheet in a photo.
pub fn read(photo: &Named<Vec<u8>>, against: &Against<'_>) -> Result<ReadSheet, Refusal> {
    let refused = |fault: crate::paper::Fault| {
        Refusal::new(fault.code(), format!("{}: {fault}", photo.name)).at(photo.name.clone()).hint(fault.hint())
    };
    let found = seen(&photo.content).map_err(refused)?;
    let (sheet, list) = laid_out(found.label(), against).map_err(|refusal| refusal.at(photo.name.clone()))?;
    let reading = found.read(&sheet).map_err(refused)?;
    let spots = reading
        .marks
        .iter()
        .map(|mark| Spot { circle: mark.circle, ink: mark.ink, confidence: mark.confidence, filled: mark.filled })
        .collect();
    let mut read = ReadSheet {
        file: photo.name.clone(),
        already: false,
        before: BTreeSet::new(),
        changed: Vec::new(),
        sheet,
        list,
        spots,
        asked: Vec::new(),
        corrected: Vec::new(),
        seen: Some(found),
    };
    read.recall(&held(against.case, &read.sheet.label)?);
    read.ask_for_missing(against.rung);
    Ok(read)
}

/// The layout that a label names, refused by name where it is of another version, language or case.
fn laid_out(label: Label, against: &Against<'_>) -> Result<(Sheet, Option<ReadChecklist>), Refusal> {
    let number = spoken(label.number);
    if label.layout != LAYOUT {
        return Err(Refusal::new(
            "other-version",
            format!(
                "sheet {number} has the layout of version {}, and this program reads version {LAYOUT}",
                label.layout
            ),
        )
        .hint("read it with the program that printed it, or print a new sheet"));
    }
    let tag = String::from_utf8_lossy(&label.language).into_owned();
    if !against.language.tag().starts_with(&tag) {
        let printed = Language::of_locale(&tag).map_or_else(|| tag.clone(), |language| language.name().to_owned());
        return Err(Refusal::new(
            "other-language",
            format!("sheet {number} is printed in another language: {printed}"),
        )
        .hint(format!("read it in its own language: --language {tag}")));
    }
    if let Some(folder) = against.case {
        of_this_case(&label, folder)?;
    }
    if let Some(sheet) = Sheet::plain(label) {
        return Ok((sheet, None));
    }
    let own = against.list.clone().into_iter();
    let lists = own.chain(shipped().iter().filter_map(|(id, _)| checklists::shipped(id).cloned()));
    let speaker = Speaker::new(against.language);
    for list in lists {
        let first = Label { page: 0, number: (label.number + 1_000_000 - u32::from(label.page)) % 1_000_000, ..label };
        let page = checklist_pages(&list.list, first, &speaker).into_iter().nth(label.page.into());
        if let Some(page) = page.filter(|page| page.label == label) {
            return Ok((page, Some(list)));
        }
    }
    Err(Refusal::new(
        "other-checklist",
        format!("sheet {number} is of a checklist that is not known here, or of another version of it"),
    )
    .hint("name the checklist it was printed from: --checklist FILE"))
}

/// Refuses a sheet of another case, by its name if it lies beside this one.
fn of_this_case(label: &Label, folder: &Path) -> Result<(), Refusal> {
    let alias = Case::open(folder)?.child()?.alias;
    if label.alias == 0 || label.alias == alias_code(&alias) {
        return Ok(());
    }
    let other = cases::beside(Some(folder))
        .iter()
        .filter_map(|other| Some(Case::open(other).ok()?.child().ok()?.alias))
        .find(|other| alias_code(other) == label.alias);
    let whose = other.map_or_else(|| format!("the case with the code {:05X}", label.alias), |other| printable(&other));
    Err(Refusal::new(
        "other-case",
        format!("sheet {} belongs to {whose}, not to {}", spoken(label.number), printable(&alias)),
    )
    .hint("read it into its own case"))
}

/// What a case holds of that sheet.
fn held(case: Option<&Path>, label: &Label) -> Result<Vec<SheetBody>, Refusal> {
    let Some(folder) = case else { return Ok(Vec::new()) };
    read_before(&Case::open(folder)?, &digits(label.number), label.kind)
}

/// A number with its check digits, digits alone.
pub(super) fn digits(number: u32) -> String {
    spoken(number).replace(' ', "")
}

impl ReadSheet {
    /// Its kind.
    pub fn kind(&self) -> Kind {
        self.sheet.label.kind
    }

    /// The Monday it says.
    pub fn monday(&self) -> Option<Date> {
        self.sheet.label.week.and_then(monday_of_week)
    }

    /// What still has to be asked, in the order of the sheet.
    pub fn doubtful(&self) -> impl Iterator<Item = &Spot> {
        self.spots.iter().filter(|spot| spot.filled == Filled::Doubtful)
    }

    /// A circle in words.
    pub fn words(&self, circle: &Circle) -> String {
        let answer = self.list.as_ref().and_then(|read| sheet_words::answer(&read.list, circle));
        answer.unwrap_or_else(|| sheet_words::circle(self.kind(), circle))
    }

    /// The options that are filled, by row and field.
    pub(super) fn filled(&self) -> BTreeMap<(u8, Field), Vec<u16>> {
        let mut found: BTreeMap<(u8, Field), Vec<u16>> = BTreeMap::new();
        for spot in self.spots.iter().filter(|spot| spot.filled == Filled::Yes) {
            found.entry((spot.circle.row, spot.circle.field)).or_default().push(spot.circle.option);
        }
        found
    }

    /// What is never assumed is asked where nothing is surely filled: how the child was, in one question about the child, and the
    /// day of a series.
    fn ask_for_missing(&mut self, said: Option<u32>) {
        let filled = self.filled();
        let answers = |spot: &&Spot| matches!(spot.circle.field, Field::Try(_) | Field::Moment(_));
        let marked = self.spots.iter().filter(|spot| spot.filled != Filled::No);
        let used: BTreeSet<u8> = marked.filter(answers).map(|spot| spot.circle.row).collect();
        let rung = said.or(self.sheet.label.about.map(u32::from));
        let doubted: Vec<(u8, Field)> = self.doubtful().map(|spot| (spot.circle.row, spot.circle.field)).collect();
        let wanted = |circle: &Circle| match circle.field {
            Field::Upset | Field::Came => self.sheet.label.kind == Kind::Sittings,
            Field::On => self.sheet.label.kind == Kind::Sittings && rung != Some(0),
            Field::Day => self.sheet.label.kind == Kind::Sampling && !doubted.contains(&(circle.row, circle.field)),
            _ => false,
        };
        let missing = |circle: &Circle| {
            let new = !self.before.contains(&circle.row) && used.contains(&circle.row);
            new && wanted(circle) && !filled.contains_key(&(circle.row, circle.field))
        };
        let ask: Vec<usize> = (0..self.spots.len()).filter(|at| missing(&self.spots[*at].circle)).collect();
        for at in ask {
            let circle = self.spots[at].circle;
            let asked = circle.option == 0 || circle.field == Field::Day;
            self.spots[at].filled = if asked { Filled::Doubtful } else { Filled::No };
            self.spots[at].confidence = 0.5;
        }
    }

    /// Takes a person's word for a circle. A filled one settles the others of its question.
    pub fn settle(&mut self, name: &str, yes: bool) -> Result<(), Refusal> {
        let Some(at) = self.spots.iter().position(|spot| spot.circle.name() == name) else {
            return Err(Refusal::new(
                "mark-unknown",
                format!("sheet {} has no circle `{}`", self.number(), printable(name)),
            )
            .hint("the names stand beside what is asked, such as 2.try-3.0"));
        };
        let now = if yes { Filled::Yes } else { Filled::No };
        let said = format!("{name} = {}", if yes { "yes" } else { "no" });
        match self.spots[at].filled {
            Filled::Doubtful => self.asked.push(said),
            before if before != now => self.corrected.push(said),
            _ => {}
        }
        self.spots[at].filled = now;
        let circle = self.spots[at].circle;
        if yes && circle.field.is_one_of() {
            for spot in &mut self.spots {
                let same = (spot.circle.row, spot.circle.field) == (circle.row, circle.field);
                if same && spot.circle.option != circle.option && spot.filled != Filled::No {
                    spot.filled = Filled::No;
                }
            }
        }
        Ok(())
    }

    /// Whether a person said no to it.
    pub(super) fn said_no(&self, circle: &Circle) -> bool {
        let said = format!("{} = no", circle.name());
        self.asked.contains(&said) || self.corrected.contains(&said)
    }

    /// Its number as it is printed.
    pub fn number(&self) -> String {
        spoken(self.sheet.label.number)
    }

    /// The picture around a circle, with its neighbours, and the circle in the middle.
    pub fn enlarged(&self, circle: &Circle) -> Option<Pixels> {
        let seen = self.seen.as_ref()?;
        Some(seen.part([circle.x - 11.0, circle.y - 5.5, 22.0, 11.0], 12.0))
    }

    /// The strip with the note, where the form has one.
    pub fn note(&self) -> Option<Pixels> {
        self.seen.as_ref().filter(|_| self.kind() != Kind::Checklist).map(Seen::note)
    }

    /// As programs read it.
    pub fn document(&self) -> SheetReadDoc {
        let label = &self.sheet.label;
        SheetReadDoc {
            file: self.file.clone(),
            number: digits(label.number),
            kind: label.kind.name().to_owned(),
            language: String::from_utf8_lossy(&label.language).into_owned(),
            page: u32::from(label.page) + 1,
            week: self.monday().map(|monday| monday.to_string()),
            rung: label.about.filter(|_| label.kind == Kind::Sittings).map(u32::from),
            already: self.already,
            says: sheet_words::summary(self),
            filled: self
                .spots
                .iter()
                .filter(|spot| spot.filled == Filled::Yes)
                .map(|spot| spot.circle.name())
                .collect(),
            doubtful: self
                .doubtful()
                .map(|spot| DoubtDoc {
                    name: spot.circle.name(),
                    text: self.words(&spot.circle),
                    ink: spot.ink,
                    confidence: spot.confidence,
                })
                .collect(),
        }
    }

    /// The sheet as a line of text that [`ReadSheet::held`] understands: what a page hands from one request to the next, so that
    /// no photo is kept.
    pub fn written(&self) -> String {
        let label = &self.sheet.label;
        let spots: String = self
            .spots
            .iter()
            .map(|spot| match spot.filled {
                Filled::Yes => 'y',
                Filled::No => 'n',
                Filled::Doubtful => '?',
            })
            .collect();
        let or = |number: Option<u16>| number.map_or_else(|| "-".to_owned(), |number| number.to_string());
        format!(
            "{}|{}|{}|{}|{}|{}|{}|{}|{}|{spots}|{}",
            label.layout,
            label.kind.name(),
            String::from_utf8_lossy(&label.language),
            label.page,
            label.alias,
            or(label.week),
            or(label.about),
            label.number,
            self.asked.join(";"),
            self.file.replace(['|', '\n'], " "),
        )
    }

    /// The sheet of such a line, checked as its photo was.
    pub fn held(line: &str, against: &Against<'_>) -> Result<Self, Refusal> {
        let broken = || Refusal::new("not-held", "this is no sheet that was read here").hint("read the photo again");
        let parts: Vec<&str> = line.splitn(11, '|').collect();
        let [layout, kind, language, page, alias, week, about, number, asked, spots, file] = parts[..] else {
            return Err(broken());
        };
        let or = |text: &str| if text == "-" { Some(None) } else { text.parse().ok().map(Some) };
        let label = || {
            Some(Label {
                layout: layout.parse().ok()?,
                kind: Kind::of_name(kind)?,
                language: language.as_bytes().try_into().ok()?,
                page: page.parse().ok().filter(|page| *page < 8)?,
                alias: alias.parse().ok()?,
                week: or(week)?,
                about: or(about)?,
                number: number.parse().ok().filter(|number| *number < 1_000_000)?,
            })
        };
        let (sheet, list) = laid_out(label().ok_or_else(broken)?, against)?;
        if spots.len() != sheet.circles.len() {
            return Err(broken());
        }
        let filled = |sign: u8| match sign {
            b'y' => Filled::Yes,
            b'?' => Filled::Doubtful,
            _ => Filled::No,
        };
        let spot =
            |(circle, sign): (&Circle, u8)| Spot { circle: *circle, ink: 0.0, confidence: 0.5, filled: filled(sign) };
        let known = held(against.case, &sheet.label)?;
        let mut read = Self {
            file: file.to_owned(),
            already: false,
            before: BTreeSet::new(),
            changed: Vec::new(),
            spots: sheet.circles.iter().zip(spots.bytes()).map(spot).collect(),
            sheet,
            list,
            asked: asked.split(';').filter(|said| !said.is_empty()).map(ToOwned::to_owned).collect(),
            corrected: Vec::new(),
            seen: None,
        };
        read.recall(&known);
        Ok(read)
    }
}
