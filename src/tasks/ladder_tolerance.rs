//! From where to plan again by the child's estimated tolerance: up to the highest rung at which, channel by channel, the
//! half-way point of the estimate is above with 95 % certainty, never above the rung that is practised now.
//!
//! A session counts for the plan that was in force on its day: its rung there, and the channel that this rung raised. The
//! rule is a convention of this tool, advice to a clinician and not a measure of a child.

use crate::contract::RungDoc;
use crate::practice::{Axis, Session, Tolerance, Trials, estimate};
use crate::words::Channel;

use super::plans::{StoredPlan, on};
use super::refusal::Refusal;

/// From where to plan, and why.
#[derive(Clone, Debug, PartialEq)]
pub(super) struct Footing {
    /// Rungs up to here are kept.
    pub(super) rung: u32,
    /// The rung practised now.
    pub(super) now: u32,
    /// Half the step that was too large, when the estimate asks for a step back.
    pub(super) half_step: Option<f64>,
    /// In sentences.
    pub(super) why: Vec<String>,
}

/// The channel that a rung raised; `None` on a plan stored before rungs told it.
fn channel(rung: &RungDoc) -> Option<Channel> {
    Channel::from_word(&rung.card.as_ref()?.channel)
}

/// Rungs up to a number that raise a channel.
fn raising(rungs: &[RungDoc], wanted: Channel, number: u32) -> u32 {
    let counted = rungs.iter().filter(|rung| rung.number <= number && channel(rung) == Some(wanted)).count();
    u32::try_from(counted).unwrap_or(u32::MAX)
}

/// From where to plan again. `plans` are all that ever were, oldest first; `in_force` is the one that holds.
pub(super) fn footing(plans: &[StoredPlan], in_force: &StoredPlan, sessions: &[Session]) -> Result<Footing, Refusal> {
    let place = &in_force.body.place;
    let here = |session: &&Session| session.place.as_ref().is_none_or(|named| named == place);
    let used: Vec<&Session> = sessions.iter().filter(here).filter(|session| !session.is_void()).collect();
    let trials = |wanted: Channel| -> Vec<Trials> {
        let one = |session: &&Session| {
            let rungs = &on(plans, session.date)?.body.plan.rungs;
            let raised = rungs.iter().find(|rung| rung.number == session.rung)?;
            (channel(raised) == Some(wanted)).then(|| Trials {
                date: session.date,
                x: raising(rungs, wanted, session.rung),
                opportunities: session.opportunities,
                independent: session.independent,
            })
        };
        used.iter().filter_map(one).collect()
    };
    let found: Vec<(Channel, Option<Tolerance>)> =
        Channel::ALL.into_iter().map(|channel| (channel, estimate(&trials(channel), Axis::Channel(channel)))).collect();
    let sure: Vec<(Channel, Tolerance)> =
        found.iter().filter_map(|(channel, one)| Some((*channel, one.filter(|one| one.enough)?))).collect();
    if sure.is_empty() {
        return Err(unsure(&found, place));
    }
    let now = used.last().map_or(0, |session| session.rung);
    let rungs = &in_force.body.plan.rungs;
    let bears =
        |number: u32| sure.iter().all(|(channel, one)| f64::from(raising(rungs, *channel, number)) <= one.low.max(0.0));
    let rung = (1..=now).take_while(|&number| bears(number)).last().unwrap_or(0);
    let too_large = rungs.iter().find(|one| one.number == rung + 1).filter(|_| rung < now);
    let mut why: Vec<String> = sure
        .iter()
        .map(|(channel, one)| {
            format!(
                "Tolerance, {channel}: half-way point at {:.1} of its rungs, above {:.1} with 95 % certainty ({} opportunities). A convention, advice only.",
                one.half, one.low, one.trials
            )
        })
        .collect();
    why.push(if rung < now {
        format!("The estimate bears rungs up to {rung} of the {now} practised; the next step is halved.")
    } else {
        format!("The estimate bears the rung practised now, {now}: it gives no reason to go back.")
    });
    Ok(Footing { rung, now, half_step: too_large.map(|one| one.step / 2.0).filter(|step| *step > 0.0), why })
}

/// Why no channel's estimate can be gone by.
fn unsure(found: &[(Channel, Option<Tolerance>)], place: &str) -> Refusal {
    let one = |(channel, one): &(Channel, Option<Tolerance>)| match one {
        None => format!("{channel}: no opportunity on a rung that raises it"),
        Some(one) => format!(
            "{channel}: {} opportunities, half-way point {:.1} with a doubt of {:.1} rungs",
            one.trials, one.half, one.sd
        ),
    };
    let told: Vec<String> = found.iter().map(one).collect();
    Refusal::new("not-enough-data", format!("there is not enough data for an estimate of tolerance\n{}", told.join("\n")))
        .at(place)
        .hint("it takes 30 opportunities on the rungs of one channel, a doubt of 1 rung at most, and a half-way point not far above what was practised; until then name the rung: --from-rung N")
}
