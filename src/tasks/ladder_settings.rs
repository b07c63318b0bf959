//! What is asked of a case's plan: what the plan before it was asked, what is asked now, and the items those words mean.

use std::collections::BTreeMap;

use crate::checklist::{Checklist, ItemId};
use crate::contract::{LadderSettings, NoteDoc};
use crate::ladder::SOUND_CAP_MOST_DB;
use crate::quantity::Pull;
use crate::words::{Channel, did_you_mean, printable};

use super::refusal::Refusal;

/// What is asked now; what is left out stays as in the plan before.
#[derive(Clone, Debug, Default)]
pub struct Wishes {
    /// Channels in the order in which they are added back; those not named follow in the usual order.
    pub order: Option<String>,
    /// Never used with this child.
    pub never: Vec<String>,
    /// Stays as it is.
    pub fixed: Vec<String>,
    /// No longer never, no longer fixed.
    pub allow: Vec<String>,
    /// `CHANNEL=FACTOR`.
    pub sensitivity: Vec<String>,
    /// Split steps above it.
    pub max_step: Option<f64>,
    /// The sound cap.
    pub sound_cap_db: Option<f64>,
    /// Volume of the room.
    pub volume_m3: Option<f64>,
    /// Decay time of the room.
    pub decay_s: Option<f64>,
    /// Only what one adult alone can stage.
    pub alone: bool,
}

/// The settings of a plan: those of the plan before it, changed by the wishes.
pub(super) fn settings(before: Option<&LadderSettings>, wishes: &Wishes) -> Result<LadderSettings, Refusal> {
    let mut all = before.cloned().unwrap_or_default();
    all.alone = wishes.alone;
    if let Some(order) = &wishes.order {
        all.order = read_order(order)?.map(|channel| channel.word().to_owned()).to_vec();
    }
    for (list, more) in [(&mut all.never, &wishes.never), (&mut all.fixed, &wishes.fixed)] {
        list.retain(|name| !wishes.allow.iter().any(|allowed| plain(allowed) == plain(name)));
        for name in more {
            if name.trim().is_empty() {
                return Err(Refusal::new("no-name", "a name is empty")
                    .hint("name an item or a thing, such as \"vacuum cleaner\""));
            }
            if !list.iter().any(|one| plain(one) == plain(name)) {
                list.push(name.trim().to_owned());
            }
        }
    }
    for word in &wishes.sensitivity {
        let (channel, factor) = read_sensitivity(word)?;
        all.sensitivity.insert(channel.word().to_owned(), factor);
    }
    if let Some(step) = wishes.max_step {
        all.max_step = Some(read_step(step)?.u());
    }
    let hint = "no rung is planned above 65 dB at the child's ear";
    let cap = within("sound-cap", wishes.sound_cap_db, (20.0, SOUND_CAP_MOST_DB), hint)?;
    all.sound_cap_db = cap.or(all.sound_cap_db);
    all.volume_m3 = volume(wishes.volume_m3)?.or(all.volume_m3);
    all.decay_s = decay(wishes.decay_s)?.or(all.decay_s);
    Ok(all)
}

/// A room's volume that makes sense.
pub(super) fn volume(volume_m3: Option<f64>) -> Result<Option<f64>, Refusal> {
    within("volume", volume_m3, (1.0, 100_000.0), "length times width times height in metres, such as 40")
}

/// A decay time that makes sense.
pub(super) fn decay(decay_s: Option<f64>) -> Result<Option<f64>, Refusal> {
    within("decay", decay_s, (0.05, 20.0), "seconds, as `stillroom sound clap.wav --decay` prints them, such as 0.5")
}

/// A number in its range, or a refusal that names both.
pub(super) fn within(
    name: &str,
    value: Option<f64>,
    (least, most): (f64, f64),
    hint: &str,
) -> Result<Option<f64>, Refusal> {
    match value {
        Some(value) if !(least..=most).contains(&value) => {
            Err(Refusal::new(name, format!("{name} is {value}, and must be from {least} to {most}")).hint(hint))
        }
        value => Ok(value),
    }
}

/// A step above which steps are split.
pub(super) fn read_step(step: f64) -> Result<Pull, Refusal> {
    Pull::new(step)
        .filter(|pull| pull.u() > 0.0)
        .ok_or_else(|| Refusal::new("max-step", format!("{step} is no step")).hint("give a pull above 0, such as 0.25"))
}

/// The order of channels: those named first, then the others as usual, so that company comes last.
pub(super) fn read_order(text: &str) -> Result<[Channel; 3], Refusal> {
    let mut order: Vec<Channel> = Vec::new();
    for word in text.split(',').map(str::trim) {
        let channel = Channel::from_word(word).ok_or_else(|| {
            let nearest = did_you_mean(word, Channel::ALL.map(Channel::word));
            Refusal::new("order", format!("`{}` is no channel: seen, heard or company{nearest}", printable(word)))
                .hint("such as --order seen,heard,company or --order heard")
        })?;
        if order.contains(&channel) {
            return Err(
                Refusal::new("order", format!("the order names {channel} twice")).hint("name each channel once")
            );
        }
        order.push(channel);
    }
    order.extend(Channel::ALL.into_iter().filter(|channel| !order.contains(channel)).collect::<Vec<_>>());
    <[Channel; 3]>::try_from(order)
        .map_err(|_| Refusal::new("order", "the order names too many channels").hint("name each channel once"))
}

fn read_sensitivity(text: &str) -> Result<(Channel, f64), Refusal> {
    let hint = "such as --sensitivity heard=1.5; 0.5 to 2, set by a clinician";
    let refuse = || Refusal::new("sensitivity", format!("`{}` is no sensitivity", printable(text))).hint(hint);
    let (word, factor) = text.split_once('=').ok_or_else(refuse)?;
    let channel = Channel::from_word(word.trim()).ok_or_else(refuse)?;
    let factor: f64 = factor.trim().parse().map_err(|_| refuse())?;
    match within("sensitivity", Some(factor), (0.5, 2.0), hint)? {
        Some(factor) => Ok((channel, factor)),
        None => Err(refuse()),
    }
}

/// The order that settings ask for.
pub(super) fn order_of(settings: &LadderSettings) -> [Channel; 3] {
    read_order(&settings.order.join(",")).unwrap_or(Channel::ALL)
}

/// The child's sensitivities: the scale's, changed by the settings.
pub(super) fn sensitivity_of(channel: Channel, scale: f64, set: &BTreeMap<String, f64>) -> f64 {
    set.get(channel.word()).copied().unwrap_or(scale)
}

/// A name without hyphens, articles, capitals and double spaces.
fn plain(name: &str) -> String {
    let lower = name.to_lowercase().replace(['-', '_'], " ");
    let words = lower.split_whitespace().skip_while(|word| ["a", "an", "the"].contains(word));
    words.collect::<Vec<_>>().join(" ")
}

/// Whether all words of `name` stand in `text`, in whatever number.
fn speaks(text: &str, name: &str) -> bool {
    let stem = |word: &str| word.trim_matches(|sign: char| !sign.is_alphanumeric()).trim_end_matches('s').to_owned();
    let there: Vec<String> = plain(text).split(' ').map(stem).collect();
    let named = plain(name);
    !named.is_empty() && named.split(' ').map(stem).all(|word| there.contains(&word))
}

/// What is excluded.
#[derive(Clone, Debug, Default)]
pub(super) struct Excluded {
    /// Items that are left out whole.
    pub(super) items: Vec<ItemId>,
    /// Names of things that no rung rotates.
    pub(super) names: Vec<String>,
    /// What to say about names that the checklist does not know.
    pub(super) notes: Vec<NoteDoc>,
}

/// The items and things that names mean: an item whose id or level speaks of the name is left out; an example that does
/// is not rotated; a name that nothing speaks of is kept all the same and told. `sounds` are looked for among what is heard.
pub(super) fn exclude(checklist: &Checklist, never: &[String], sounds: &[String]) -> Excluded {
    let mut all = Excluded::default();
    let named = never.iter().map(|name| (name, false)).chain(sounds.iter().map(|name| (name, true)));
    for (name, heard_only) in named {
        let asked = || checklist.items.iter().filter(|item| !heard_only || item.channel == Channel::Heard);
        let mut known = false;
        for item in asked() {
            let levels = item.levels.iter().any(|level| speaks(&level.name, name));
            if levels || speaks(item.id.as_str(), name) {
                all.items.push(item.id.clone());
                known = true;
            }
            known |= item.exemplars.iter().any(|one| speaks(one, name));
        }
        if !known {
            let nearest = did_you_mean(&plain(name).replace(' ', "-"), asked().map(|item| item.id.as_str()));
            all.notes.push(NoteDoc::new(
                "never-not-listed",
                format!(
                    "\"{}\" is no question, level or example of this checklist{nearest}. It stays on every card as never to be used.",
                    printable(name)
                ),
            ));
        }
        if !all.names.iter().any(|one| plain(one) == plain(name)) {
            all.names.push(name.clone());
        }
    }
    all
}

impl Excluded {
    /// Takes the excluded things out of what is rotated.
    pub(super) fn thin(&self, exemplars: &mut Vec<String>) {
        exemplars.retain(|one| !self.names.iter().any(|name| speaks(one, name)));
    }
}

/// Takes what stays in reach out of what is rotated: it is never moved, not even to practise with.
pub(super) fn without_kept(keep: &[String], exemplars: &mut Vec<String>) {
    exemplars.retain(|one| !keep.iter().any(|kept| speaks(one, kept) || speaks(kept, one)));
}

/// The items that stay as they are; a name that is none is refused.
pub(super) fn fix(checklist: &Checklist, fixed: &[String]) -> Result<Vec<ItemId>, Refusal> {
    fixed
        .iter()
        .map(|name| {
            let item = checklist.items.iter().find(|item| plain(item.id.as_str()) == plain(name));
            item.map(|item| item.id.clone()).ok_or_else(|| {
                let ids = checklist.items.iter().map(|item| item.id.as_str());
                let nearest = did_you_mean(&plain(name).replace(' ', "-"), ids);
                Refusal::new("no-such-item", format!("`{}` is no item of `{}`{nearest}", printable(name), checklist.id))
                    .at(printable(name))
                    .hint("`stillroom checklist show LIST` names the items")
            })
        })
        .collect()
}

#[cfg(test)]
mod tests {
    use super::{read_order, speaks};
    use crate::words::Channel;

    #[test]
    fn a_name_is_known_by_its_words_whatever_their_number_or_article() {
        assert!(speaks("a vacuum cleaner", "Vacuum-Cleaners"));
        assert!(speaks("machines-heard", "machine"));
        assert!(!speaks("a washing machine", "machine gun"));
        assert!(!speaks("machines-heard", " the "));
    }

    #[test]
    fn channels_not_named_follow_as_usual() {
        assert_eq!(read_order("heard").unwrap(), [Channel::Heard, Channel::Seen, Channel::Company]);
        assert_eq!(read_order("company, seen,heard").unwrap(), [Channel::Company, Channel::Seen, Channel::Heard]);
        assert!(read_order("seen,seen").unwrap_err().message.contains("twice"));
        assert!(read_order("herd").unwrap_err().message.contains("heard"));
        assert!(read_order("").is_err());
    }
}
