//! Sensitivities: how strongly each channel works on this child, set by the clinician with a reason.

use crate::case::Case;
use crate::contract::{NoteDoc, SensitivityDoc};
use crate::load::{Scale, Sensitivity};
use crate::words::{Channel, did_you_mean, printable};

use super::audits::every_audit;
use super::refusal::Refusal;

/// Reads what was typed, such as `heard=1.5`, with the reason; channels that are not named keep the scale's value.
/// `None` when nothing was typed.
pub fn read(given: &[String], note: Option<&str>, scale: &Scale) -> Result<Option<SensitivityDoc>, Refusal> {
    let note = note.map(str::trim).filter(|note| !note.is_empty());
    if given.is_empty() {
        return match note {
            None => Ok(None),
            Some(_) => Err(refusal("a reason without a sensitivity", "name the channel too: --sensitivity heard=1.5")),
        };
    }
    let Some(note) = note else {
        return Err(refusal(
            "a sensitivity needs the clinician's reason",
            "add --sensitivity-note \"covers the ears at the vacuum cleaner\"",
        ));
    };
    let mut factors = Channel::ALL.map(|channel| scale.sensitivity().of(channel));
    let mut named = Vec::new();
    for entry in given {
        let (channel, factor) = factor(entry)?;
        if named.contains(&channel) {
            return Err(refusal(&format!("{channel} is set twice"), "set each channel once"));
        }
        named.push(channel);
        factors[channel as usize] = factor;
    }
    let [seen, heard, company] = factors;
    Ok(Some(SensitivityDoc { seen, heard, company, note: note.to_owned() }))
}

/// One `CHANNEL=FACTOR`.
fn factor(entry: &str) -> Result<(Channel, f64), Refusal> {
    let shown = printable(entry);
    let (name, number) = entry
        .split_once('=')
        .ok_or_else(|| refusal(&format!("`{shown}` is no sensitivity"), "write it like heard=1.5"))?;
    let channel = Channel::from_word(name.trim()).ok_or_else(|| {
        let hint = did_you_mean(name.trim(), Channel::ALL.map(Channel::word));
        refusal(&format!("there is no channel `{}`{hint}", printable(name.trim())), "name seen, heard or company")
    })?;
    let range = Sensitivity::RANGE;
    number
        .trim()
        .parse::<f64>()
        .ok()
        .filter(|factor| range.contains(factor))
        .map(|factor| (channel, factor))
        .ok_or_else(|| {
            refusal(
                &format!("`{shown}` is no sensitivity: it goes from {:.1} to {:.1}", range.start(), range.end()),
                "1 is as usual; 1.5 says that this channel draws half as strongly again",
            )
        })
}

fn refusal(message: &str, hint: &str) -> Refusal {
    Refusal::new("sensitivity", message).hint(hint)
}

/// The sensitivities to count with: those set, else the scale's.
pub fn of(set: Option<&SensitivityDoc>, scale: &Scale) -> Sensitivity {
    set.and_then(|set| Sensitivity::new(set.seen, set.heard, set.company)).unwrap_or_else(|| scale.sensitivity())
}

/// The sensitivities of the newest audit of a case: they hold until the clinician sets others.
pub fn newest(case: &Case) -> Result<Option<SensitivityDoc>, Refusal> {
    Ok(every_audit(case)?.into_iter().next_back().and_then(|(_, body)| body.figures.sensitivity))
}

/// What to say beside a figure that they changed.
pub fn note(used: &Sensitivity, set: Option<&SensitivityDoc>) -> Option<NoteDoc> {
    if *used == Sensitivity::PLAIN {
        return None;
    }
    let word = |channel: Channel| match channel {
        Channel::Seen => "what is seen",
        Channel::Heard => "what is heard",
        Channel::Company => "company",
    };
    let changed = Channel::ALL.into_iter().filter(|channel| (used.of(*channel) - 1.0).abs() > f64::EPSILON);
    let list: Vec<String> =
        changed.map(|channel| format!("{} counts {} times", word(channel), used.of(channel))).collect();
    let why = set.map_or_else(
        || "The scale says so.".to_owned(),
        |set| format!("The clinician's reason: {}", printable(&set.note)),
    );
    Some(NoteDoc::new("sensitivity", format!("For this child {}. {why}", list.join(", "))))
}

#[cfg(test)]
mod tests {
    use super::{note, of, read};
    use crate::load::Scale;
    use crate::words::Channel;

    fn typed(given: &[&str], note: Option<&str>) -> Result<Option<crate::contract::SensitivityDoc>, String> {
        let given: Vec<String> = given.iter().map(ToString::to_string).collect();
        read(&given, note, &Scale::shipped()).map_err(|refusal| refusal.message)
    }

    #[test]
    fn a_sensitivity_has_a_channel_a_factor_and_a_reason() {
        let set = typed(&["heard=1.5", "company = 0.8"], Some(" covers the ears ")).unwrap().unwrap();
        assert_eq!((set.seen, set.heard, set.company, set.note.as_str()), (1.0, 1.5, 0.8, "covers the ears"));
        assert!((of(Some(&set), &Scale::shipped()).of(Channel::Heard) - 1.5).abs() < f64::EPSILON);
        let said = note(&of(Some(&set), &Scale::shipped()), Some(&set)).unwrap();
        assert_eq!(
            said.text,
            "For this child what is heard counts 1.5 times, company counts 0.8 times. The clinician's reason: covers the ears"
        );
        assert_eq!(typed(&[], None), Ok(None));
        assert!(note(&of(None, &Scale::shipped()), None).is_none());
    }

    #[test]
    fn what_is_out_of_range_unknown_twice_or_without_a_reason_is_refused() {
        assert!(typed(&["heard=1.5"], None).unwrap_err().contains("reason"));
        assert!(typed(&["heard=1.5"], Some("  ")).unwrap_err().contains("reason"));
        assert!(typed(&[], Some("why")).unwrap_err().contains("without a sensitivity"));
        for out in ["heard=2.1", "heard=0.49", "heard=NaN", "heard=", "heard=inf"] {
            assert!(typed(&[out], Some("why")).unwrap_err().contains("0.5 to 2.0"), "{out}");
        }
        assert!(typed(&["haerd=1.5"], Some("why")).unwrap_err().contains("did you mean `heard`"));
        assert!(typed(&["heard 1.5"], Some("why")).is_err());
        assert!(typed(&["heard=1.5", "heard=1.2"], Some("why")).unwrap_err().contains("twice"));
    }
}
