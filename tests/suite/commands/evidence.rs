//! What a child's sessions say of the scale, as a clinician asks for it.

use super::practising::Made;

/// Ten sessions up three rungs: the third thing that comes is far too much.
const CLIMB: &str = "2026-03-02,0,10,10,0,0,0,yes,no,12,,sorting,window table\n\
    2026-03-03,0,10,10,0,0,0,yes,no,12,,sorting,window table\n\
    2026-03-04,1,10,10,0,0,0,yes,yes,12,,sorting,window table\n\
    2026-03-05,1,10,9,1,0,0,yes,yes,12,,sorting,window table\n\
    2026-03-06,2,10,10,0,0,0,yes,yes,12,,sorting,window table\n\
    2026-03-09,2,10,9,1,0,0,yes,yes,12,,sorting,window table\n\
    2026-03-10,3,10,4,4,2,0,yes,yes,12,,sorting,window table\n\
    2026-03-11,2,10,9,1,0,0,yes,yes,12,,sorting,window table\n\
    2026-03-12,3,10,3,5,2,0,yes,yes,12,,sorting,window table\n";

#[test]
fn each_rung_has_one_forecast_from_the_days_before_it() {
    let made = Made::with_ladder();
    made.take(CLIMB);
    let found = made.done(&["evidence", "--case", "clover", "--on", "2026-03-12"]);
    assert_eq!(found["schema"], "stillroom.evidence/1");
    assert_eq!((found["sessions"].as_u64(), found["opportunities"].as_u64()), (Some(9), Some(90)));
    let forecasts = found["forecasts"].as_array().unwrap();
    let rungs: Vec<_> = forecasts.iter().map(|one| one["rung"].as_u64().unwrap()).collect();
    assert_eq!(rungs, [1, 2, 3]);
    assert!(found["record"]["no_better"].is_null(), "three forecasts prove nothing");
    for one in forecasts {
        let of = |key: &str| one[key].as_f64().unwrap();
        assert!(0.0 <= of("low") && of("low") <= of("mean") && of("mean") <= of("high") && of("high") <= 1.0, "{one}");
        assert!(of("score") < 0.0);
    }
    // A forecast knows nothing of what came later.
    let then = made.done(&["evidence", "--case", "clover", "--on", "2026-03-06"]);
    assert_eq!(then["forecasts"].as_array().unwrap()[..2], forecasts[..2]);
    for one in found["distractors"].as_array().unwrap() {
        assert_eq!(one["enough"].as_bool().unwrap(), !one["factor"].is_null(), "{one}");
        assert_eq!(one["enough"].as_bool().unwrap(), one["opportunities"].as_u64().unwrap() >= 30, "{one}");
    }
    let highest = found["next"]["rung"].as_u64().unwrap();
    assert!(found["probe"]["rung"].as_u64().unwrap() <= highest);
}

#[test]
fn a_pause_has_no_forecast_and_no_probe() {
    let made = Made::with_ladder();
    let upset = |day| format!("2026-03-{day},2,4,1,2,1,1,no,yes,4,,sorting,window table\n");
    made.take(&format!("{CLIMB}{}{}", upset(13), upset(14)));
    let found = made.done(&["evidence", "--case", "clover", "--on", "2026-03-14"]);
    let review = made.done(&["review", "--case", "clover", "--on", "2026-03-14"]);
    assert_eq!(review["decision"], "pause", "{review}");
    assert!(found["next"].is_null() && found["probe"].is_null(), "{found}");
    assert!(found["cautions"].as_array().unwrap().iter().any(|caution| caution["code"] == "pause"));
}

#[test]
fn without_a_ladder_or_a_session_there_is_nothing_to_foretell() {
    let made = Made::new();
    assert_eq!(made.refused(&["evidence", "--case", "clover"])["code"], "no-session");
    made.take(CLIMB);
    assert_eq!(made.refused(&["evidence", "--case", "clover"])["code"], "no-plan");
    assert_eq!(made.refused(&["evidence", "--case", "clover", "--task", "juggling"])["code"], "no-session");
}
