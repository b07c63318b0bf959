//! Laws that hold for every log.

use proptest::prelude::{Just, ProptestConfig, Strategy, any, prop_assert, prop_assert_eq, prop_oneof, proptest};
use stillroom::practice::{Decision, Log, Options, Session, parse, review};

use super::HEAD;

/// Any session within a few weeks and rungs.
fn session() -> impl Strategy<Value = Session> {
    let note = prop_oneof![
        8 => Just(""), 1 => Just("baseline"), 1 => Just("probe"), 2 => Just("maintenance, quick"), 1 => Just("unwell"),
        1 => Just("harm"), 1 => Just("cleared by \"the clinician\""), 1 => Just("two\nlines"),
    ];
    let counts = (0u32..=14).prop_flat_map(|all| (Just(all), 0..=all));
    let flags = (0u8..12, 0u8..12, 0u8..8, 0u8..20);
    let place = prop_oneof![Just(None), Just(Some("window table".to_owned()))];
    (0i16..40, 0u32..3, counts, flags, note, place).prop_map(|(day, rung, (all, alone), flags, note, place)| Session {
        date: jiff::civil::date(2026, 3, 1).checked_add(jiff::Span::new().days(i64::from(day))).unwrap(),
        rung,
        opportunities: all,
        independent: alone,
        prompted: 0,
        errors: all - alone,
        distress: flags.0 == 0,
        assent: flags.1 != 0,
        distractor_on: rung > 0 && flags.2 != 0,
        minutes: Some(10),
        note: note.to_owned(),
        task: None,
        place,
        by: None,
        exemplar: None,
        after: flags.3 == 0,
        further: Vec::new(),
        details: stillroom::practice::Details::default(),
    })
}

fn sessions() -> impl Strategy<Value = Vec<Session>> {
    proptest::collection::vec(session(), 0..25)
}

fn options() -> impl Strategy<Value = Options> {
    any::<bool>().prop_map(|pool_by_day| Options { pool_by_day, ..Options::bare() })
}

/// An ordinary session the day after the log's newest, with what `change` makes of it.
fn next(log: &[Session], change: impl Fn(&mut Session)) -> Session {
    let newest = log.iter().map(|session| session.date).max().unwrap_or(jiff::civil::date(2026, 3, 1));
    let text = format!("{HEAD}{},0,10,10,0,0,0,yes,no,10,\n", newest.tomorrow().unwrap());
    let mut session = parse(&text, "log.csv").unwrap().sessions()[0].clone();
    change(&mut session);
    session
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(96))]

    #[test]
    fn the_order_of_days_in_the_file_does_not_matter(sessions in sessions(), seed in any::<u64>(), options in options()) {
        let log = Log::new(sessions);
        // Days in an arbitrary order, each day's sessions in theirs.
        let mut days: Vec<&[Session]> = log.sessions().chunk_by(|a, b| a.date == b.date).collect();
        days.sort_by_key(|day| (u64::from(day[0].date.day_of_year().unsigned_abs()) + 1).wrapping_mul(seed | 1) >> 7);
        let shuffled = Log::new(days.concat());
        prop_assert_eq!(&shuffled, &log);
        prop_assert_eq!(review(&shuffled, &options), review(&log, &options));
    }

    #[test]
    fn safety_beats_every_score(sessions in sessions(), options in options()) {
        let with = |more: &[Session]| review(&Log::new([&sessions[..], more].concat()), &options);
        let harm = next(&sessions, |session| session.note = "harm".to_owned());
        let found = with(std::slice::from_ref(&harm));
        prop_assert_eq!((found.decision, found.reasons[0].code()), (Decision::Pause, "harm"));
        let first = next(&sessions, |session| session.distress = true);
        let second = next(std::slice::from_ref(&first), |session| session.assent = false);
        prop_assert_eq!(with(&[first.clone(), second]).decision, Decision::Pause);
        prop_assert!(matches!(with(&[first]).decision, Decision::Pause | Decision::Hold | Decision::StepBack | Decision::BreakDown));
    }

    #[test]
    fn only_calm_willing_independent_sessions_advance(sessions in sessions(), options in options()) {
        let found = review(&Log::new(sessions), &options);
        prop_assert_eq!(found.decision == Decision::Advance, found.reasons[0].code() == "criterion-met");
        if found.decision == Decision::Advance {
            prop_assert!(found.statistics.streak >= 2 && found.statistics.counted >= 2);
        }
    }

    #[test]
    fn figures_stay_in_their_bounds(sessions in sessions()) {
        let found = review(&Log::new(sessions), &Options::bare());
        let share = |share: f64| (-1e-12..=1.0 + 1e-12).contains(&share);
        prop_assert!(found.statistics.share_mean.is_none_or(share));
        if let Some(slope) = found.statistics.slope {
            prop_assert!(slope.low <= slope.per_day && slope.per_day <= slope.high);
        }
        if let Some(baseline) = found.statistics.baseline {
            prop_assert!(share(baseline.nap_low) && share(baseline.nap_high) && share(baseline.trend_p));
            prop_assert!(baseline.nap_low <= baseline.nap && baseline.nap <= baseline.nap_high);
            prop_assert!(share(baseline.tau_bc.abs()));
        }
        if let Some(tolerance) = found.tolerance {
            prop_assert!(share(tolerance.next_share) && tolerance.sd.is_finite());
            prop_assert!(tolerance.low <= tolerance.high && (tolerance.low..=tolerance.high).contains(&tolerance.half));
        }
    }

    #[test]
    fn a_log_written_and_read_again_is_the_same(sessions in sessions()) {
        let log = Log::new(sessions);
        prop_assert_eq!(parse(&log.to_csv(), "again.csv").unwrap(), log);
    }

    #[test]
    fn mutated_text_is_read_or_refused_with_a_place(
        sessions in sessions(),
        cuts in proptest::collection::vec((any::<proptest::sample::Index>(), "[\"',;\r\n\u{feff}0-9a-z\\-é]{0,3}", 0usize..4), 1..6),
    ) {
        let mut text: Vec<char> = Log::new(sessions).to_csv().chars().collect();
        for (at, insert, remove) in cuts {
            let at = at.index(text.len() + 1).min(text.len());
            let end = (at + remove).min(text.len());
            text.splice(at..end, insert.chars());
        }
        let text: String = text.into_iter().collect();
        match parse(&text, "mutated.csv") {
            Ok(log) => {
                review(&log, &Options::bare());
            }
            Err(error) => {
                let lines = text.split(['\n', '\r']).count();
                prop_assert!(error.line().is_none_or(|line| (1..=lines).contains(&line)), "{}", error);
                prop_assert!(error.to_string().starts_with("mutated.csv: "));
            }
        }
    }
}
