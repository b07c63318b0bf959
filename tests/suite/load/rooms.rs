//! Invented rooms for the checks of the load.

use std::collections::BTreeMap;
use std::sync::LazyLock;

use stillroom::checklist::{Answer, Answers, Checklist, Choice, Item, ItemId, Unit};
use stillroom::load::{
    Assessment, AuditInputs, Comparison, PhotoReading, Scale, Sensitivity, SoundLevel, SoundReading, assess, compare,
};
use stillroom::quantity::Decibels;
use stillroom::words::{Channel, Evidence, Surface};

/// Sums and logarithms of a few dozen f64.
pub(super) const ROUNDING: f64 = 1e-12;

/// The shipped scale, read once.
pub(super) static SHIPPED: LazyLock<Scale> = LazyLock::new(Scale::shipped);

/// A whole audit that owns what it is made from.
#[derive(Clone, Debug)]
pub(super) struct Audit {
    pub(super) checklist: Checklist,
    pub(super) answers: Answers,
    pub(super) photos: Vec<PhotoReading>,
    pub(super) sound: Option<SoundReading>,
    pub(super) scale: Scale,
    pub(super) sensitivity: Sensitivity,
}

impl Audit {
    pub(super) fn of(items: Vec<(Item, Answer)>) -> Self {
        let answers = items.iter().map(|(item, answer)| (item.id.clone(), answer.clone())).collect();
        Self {
            checklist: Checklist {
                id: "invented".to_owned(),
                title: "Invented".to_owned(),
                items: items.into_iter().map(|(item, _)| item).collect(),
            },
            answers: Answers {
                checklist: "invented".to_owned(),
                place: "window table".to_owned(),
                date: jiff::civil::date(2026, 3, 2),
                by: "visitor".to_owned(),
                keep: Vec::new(),
                answers,
                reasons: BTreeMap::new(),
            },
            photos: Vec::new(),
            sound: None,
            scale: SHIPPED.clone(),
            sensitivity: Sensitivity::PLAIN,
        }
    }

    pub(super) fn inputs(&self) -> AuditInputs<'_> {
        AuditInputs {
            checklist: &self.checklist,
            answers: &self.answers,
            photos: &self.photos,
            sound: self.sound.as_ref(),
            scale: &self.scale,
            sensitivity: &self.sensitivity,
        }
    }

    pub(super) fn assess(&self, minutes: f64) -> Assessment {
        assess(&self.inputs(), minutes)
    }

    pub(super) fn compare(&self, after: &Self) -> Comparison {
        compare(&self.inputs(), &after.inputs())
    }

    pub(super) fn answer(mut self, id: &str, answer: Answer) -> Self {
        self.answers.answers.insert(ItemId::new(id), answer);
        self
    }

    pub(super) fn photo(mut self, name: &str, busyness: f64, busyness_sd: f64) -> Self {
        self.photos.push(PhotoReading { name: name.to_owned(), busyness, busyness_sd });
        self
    }

    pub(super) fn level(mut self, laeq: f64, speech_share: f64, sd_db: f64, calibration: &str) -> Self {
        let level = SoundLevel::Calibrated {
            laeq: Decibels::new(laeq),
            speech_share,
            sd_db,
            calibration: calibration.to_owned(),
        };
        self.sound = Some(SoundReading { level, child_audible: false });
        self
    }

    pub(super) fn margin(mut self, margin_db: f64) -> Self {
        self.sound = Some(SoundReading { level: SoundLevel::Margin { margin_db }, child_audible: false });
        self
    }

    pub(super) fn keep(mut self, what: &str) -> Self {
        self.answers.keep.push(what.to_owned());
        self
    }

    /// The shipped scale with a piece of its text replaced.
    pub(super) fn scale_with(mut self, old: &str, new: &str) -> Self {
        let text = SHIPPED.text();
        assert!(text.contains(old), "`{old}` does not stand in the scale");
        self.scale = Scale::parse(&text.replace(old, new), "changed.toml").unwrap();
        self
    }
}

/// An item of a channel.
pub(super) fn item(id: &str, channel: Channel, unit: Unit, minutes: f64) -> Item {
    Item {
        id: ItemId::new(id),
        surface: Surface::Table,
        channel,
        ask: format!("How about {id}?"),
        help: None,
        unit,
        in_photo: false,
        in_recording: false,
        evidence: Evidence::Convention,
        source: None,
        remedy: format!("Take {id} away."),
        minutes,
        shares: None,
        exemplars: Vec::new(),
        levels: Vec::new(),
        needs: None,
    }
}

/// The same item, seen or heard by the measurement of its channel too.
pub(super) fn pooled(mut item: Item) -> Item {
    match item.channel {
        Channel::Seen => item.in_photo = true,
        Channel::Heard => item.in_recording = true,
        Channel::Company => {}
    }
    item
}

pub(super) fn count(alone: f64, half: f64) -> Unit {
    Unit::Count { alone, half }
}

pub(super) fn yes(alone: f64) -> Unit {
    Unit::Yes { alone }
}

pub(super) fn choice(options: &[(&str, f64)]) -> Unit {
    let option = |&(key, alone): &(&str, f64)| Choice { key: key.to_owned(), text: key.to_owned(), alone };
    Unit::Choice(options.iter().map(option).collect())
}

pub(super) fn option(key: &str) -> Answer {
    Answer::Option(key.to_owned())
}

/// The room of `tests/oracle/load/twin.py`.
pub(super) fn lived_in() -> Audit {
    use Answer::{Count, NotSeen, Yes};
    let (seen, heard, company) = (Channel::Seen, Channel::Heard, Channel::Company);
    let mut audit = Audit::of(vec![
        (pooled(item("toys", seen, count(30.0, 6.0), 4.0)), Count(9)),
        (pooled(item("papers", seen, count(20.0, 8.0), 2.5)), Count(4)),
        (pooled(item("posters", seen, count(22.0, 5.0), 6.0)), NotSeen),
        (item("window", seen, yes(15.0), 1.0), Yes(true)),
        (item("mobile", seen, choice(&[("none", 0.0), ("still", 5.0), ("turning", 18.0)]), 3.0), option("turning")),
        (pooled(item("fridge", heard, yes(8.0), 2.0)), Yes(true)),
        (pooled(item("road", heard, choice(&[("low", 6.0), ("high", 20.0)]), 1.5)), option("low")),
        (item("doorbell", heard, count(25.0, 3.0), 0.5), Count(2)),
        (item("brother", company, yes(35.0), 10.0), Yes(true)),
        (item("pet", company, choice(&[("asleep", 10.0), ("about", 28.0)]), 2.0), NotSeen),
    ])
    .photo("a.jpg", 62.5, 1.0)
    .photo("b.jpg", 40.0, 2.0)
    .level(44.0, 0.3, 1.5, "meter");
    audit.sensitivity = Sensitivity::new(1.2, 1.0, 0.8).unwrap();
    audit
}

/// The same room ten days later: fewer toys, the blind down, one photo, a decibel less.
pub(super) fn after_ten_days() -> Audit {
    let mut audit = lived_in().answer("toys", Answer::Count(2)).answer("window", Answer::Yes(false));
    audit.photos.clear();
    audit.photo("a.jpg", 35.0, 1.0).level(43.0, 0.3, 1.5, "meter")
}

/// The share of that name, which must be there.
#[track_caller]
pub(super) fn share<'a>(assessment: &'a Assessment, id: &str) -> &'a stillroom::load::Share {
    assessment.shares.iter().find(|share| share.id == id).unwrap()
}

/// The names of the distractors, the largest first.
pub(super) fn ids(assessment: &Assessment) -> Vec<&str> {
    assessment.shares.iter().map(|share| share.id.as_str()).collect()
}

/// A table of `name,value`.
pub(super) fn table(csv: &str) -> BTreeMap<&str, f64> {
    let rows = csv.lines().filter(|line| !line.starts_with('#') && *line != "name,value");
    rows.map(|row| row.rsplit_once(',').unwrap()).map(|(name, value)| (name, value.parse().unwrap())).collect()
}
