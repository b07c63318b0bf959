//! What `where` answers, in sentences.

use crate::contract::{CornerDifferenceDoc, TimesDoc, WayDoc, WhereDoc};

/// Calmer than this nobody hears, dB. Common practice, no source.
const HEARD_DB: f64 = 1.0;

/// A whole number without a sign where it is 0.
fn whole(figure: f64) -> f64 {
    figure.round() + 0.0
}

/// The answer: the place, the time, the light, the echo, the first move.
pub(super) fn said(doc: &WhereDoc) -> Vec<String> {
    let mut said = corners(doc);
    if let Some(times) = &doc.times {
        said.extend(times_said(times));
    }
    said.extend(light(doc));
    said.extend(echo(doc));
    said.extend(first_move(doc));
    said
}

fn corners(doc: &WhereDoc) -> Vec<String> {
    let Some(calmest) = &doc.calmest_place else {
        return match &doc.corners[..] {
            [one] => vec![format!("Only {} was audited; a second corner is needed to compare.", one.place)],
            _ => Vec::new(),
        };
    };
    let mut said = Vec::new();
    if doc.place_is_clear {
        said.push(format!("The calmest corner is {calmest}."));
    } else {
        said.push(format!("No corner is clearly calmer than all others; the lowest figures are those of {calmest}."));
    }
    said.extend(doc.differences.iter().map(|other| difference(other, calmest)));
    said
}

fn difference(other: &CornerDifferenceDoc, calmest: &str) -> String {
    let (points, low, high) = (whole(other.difference), whole(other.low), whole(other.high));
    let place = &other.place;
    if other.verdict == "busier" {
        format!("{place} is busier than {calmest} by {points:.0} points, between {low:.0} and {high:.0}.")
    } else {
        format!(
            "Between {place} and {calmest} there is no clear difference: {points:.0} points, between {low:.0} and {high:.0}."
        )
    }
}

fn times_said(times: &TimesDoc) -> Vec<String> {
    let mut said = Vec::new();
    let Some(window) = &times.window else { return said };
    let (from, to) = (&window.from, &window.to);
    let (difference, low, high) = (whole(window.difference_db), whole(window.low_db), whole(window.high_db));
    if times.is_clear {
        said.push(format!(
            "The calmest 20 minutes in {} are {from} to {to}: {:.0} dB below the usual of the times compared, between {:.0} and {:.0}, \
             and calmer than usual on {} of {} days.",
            times.place,
            whole(-difference),
            whole(-high),
            whole(-low),
            window.days_below,
            window.days
        ));
        if window.difference_db > -HEARD_DB {
            said.push("That difference is real and yet too small to hear.".to_owned());
        }
        let others: Vec<String> = times.as_calm.iter().map(|span| format!("{}–{}", span.from, span.to)).collect();
        if times.as_calm.len() > 1 || times.as_calm.first().is_some_and(|span| (&span.from, &span.to) != (from, to)) {
            said.push(format!("As calm as that, as far as can be told: {}.", others.join(", ")));
        }
    } else if times.p.is_none() {
        said.push(format!(
            "The calmest 20 minutes so far were {from} to {to}. One or two days say nothing of other days: record the same hours on three \
             days at least, better on five."
        ));
    } else {
        said.push(format!(
            "No 20 minutes of the day are clearly calmer than the others in {}. The lowest figures are those of {from} to {to}: {difference:.0} dB \
             against the usual, between {low:.0} and {high:.0}.",
            times.place
        ));
    }
    if let Some(against) = &times.against_learning {
        let (difference, low, high) = (whole(against.difference_db), whole(against.low_db), whole(against.high_db));
        said.push(if against.high_db < 0.0 && times.is_clear {
            format!(
                "Against the learning time at {} that is {:.0} dB calmer, between {:.0} and {:.0}.",
                against.from, -difference, -high, -low
            )
        } else {
            format!(
                "Against the learning time at {} there is no clear difference: {difference:.0} dB, between {low:.0} and {high:.0}.",
                against.from
            )
        });
    }
    said
}

fn light(doc: &WhereDoc) -> Vec<String> {
    let poor = doc.light.iter().filter(|light| light.poor > 0);
    poor.map(|light| {
        let what = match &light.codes[..] {
            [one] if one == "dark" => "very dark",
            [one] if one == "blown" => "blown out to white by glare or a window",
            _ => "very dark or blown out to white",
        };
        let others: Vec<String> = doc
            .light
            .iter()
            .filter(|other| other.place == light.place && other.poor == 0)
            .filter_map(|other| Some(format!("{:02}:00", other.hour?)))
            .collect();
        match (light.hour, others.is_empty()) {
            (Some(hour), false) => format!(
                "The light in {} around {hour:02}:00: {} of {} photos were {what}; it was good around {}.",
                light.place,
                light.poor,
                light.photos,
                others.join(", ")
            ),
            (Some(hour), true) => format!(
                "The light in {} around {hour:02}:00: {} of {} photos were {what}. Take one at another hour, or draw a curtain.",
                light.place, light.poor, light.photos
            ),
            (None, _) => format!(
                "The light in {}: {} of {} photos were {what}. No name tells when; photos named by their time can be compared by the hour.",
                light.place, light.poor, light.photos
            ),
        }
    })
    .collect()
}

fn echo(doc: &WhereDoc) -> Vec<String> {
    let measured = doc.corners.iter().filter_map(|corner| Some((corner, corner.decay_s?)));
    measured
        .map(|(corner, seconds)| {
            format!("The echo in {}: sound takes {seconds:.1} s to die away by 60 dB. Curtains, a rug and soft things shorten it.", corner.place)
        })
        .collect()
}

fn first_move(doc: &WhereDoc) -> Vec<String> {
    let Some(now) = doc.corners.iter().find(|corner| Some(&corner.place) == doc.place.as_ref()) else {
        return Vec::new();
    };
    let Some(first) = doc.ways.first() else {
        return vec![format!(
            "Within {:.0} minutes nothing would clearly lower the load of {}.",
            doc.minutes, now.place
        )];
    };
    let mut said = vec![format!(
        "First move, within {:.0} minutes: {} ({:.0} min). The load would then be about {:.0} instead of {:.0}, an expectation until it is \
         audited again.",
        doc.minutes,
        way(first),
        first.minutes,
        first.load_after,
        now.load
    )];
    if doc.place_is_clear
        && doc
            .corners
            .iter()
            .any(|corner| Some(&corner.place) == doc.calmest_place.as_ref() && corner.minutes.is_none())
    {
        said.push(format!(
            "{} is left out of the moves, since the family said it is not possible there.",
            doc.calmest_place.as_deref().unwrap_or_default()
        ));
    }
    said
}

/// A way in words.
pub fn way(way: &WayDoc) -> String {
    let tidied = way.ids.len();
    let there = match (&way.place, &way.from) {
        (Some(place), Some(from)) => format!("move to {place} and to {from}"),
        (Some(place), None) => format!("move to {place}"),
        (None, Some(from)) => format!("move to {from}"),
        (None, None) => return format!("stay and tidy {tidied} of the things found"),
    };
    if tidied == 0 { there } else { format!("{there}, and tidy {tidied} of the things found there") }
}
