//! Every worked example, by its kind.

use serde_json::{Value, json};
use stillroom::practice::{
    SLOPE_95, Tolerance, change, corrected_tau, count_agreement, interval_agreement, kappa, kendall_p, mean, nap,
    nap_standard_error, parse, percentile, sampling, tau, tau_b, tau_u, theil_sen, tolerance,
};

use super::{oracle, same};

/// A tolerance's ends are grid points; another summation may reach the neighbour.
const GRID_STEP: f64 = 0.05 + 1e-9;

fn numbers(value: &Value) -> Vec<f64> {
    value.as_array().unwrap().iter().map(|number| number.as_f64().unwrap()).collect()
}

fn counts(value: &Value) -> Vec<u64> {
    value.as_array().unwrap().iter().map(|number| number.as_u64().unwrap()).collect()
}

fn marks(value: &Value) -> Vec<bool> {
    counts(value).into_iter().map(|mark| mark == 1).collect()
}

fn pairs(x: &Value, y: &Value) -> Vec<(f64, f64)> {
    numbers(x).into_iter().zip(numbers(y)).collect()
}

/// The factor of a two-sided interval, by bisection of the normal law.
fn factor(level: f64) -> f64 {
    if (level - 0.95).abs() < 1e-12 {
        return SLOPE_95;
    }
    let (mut low, mut high) = (0.0, 10.0);
    for _ in 0..100 {
        let middle = f64::midpoint(low, high);
        if libm::erf(middle / std::f64::consts::SQRT_2) < level { low = middle } else { high = middle }
    }
    low
}

pub(super) fn tolerance_fields(found: &Tolerance) -> Value {
    json!({
        "axis": found.axis.word(), "trials": found.trials, "half": found.half, "sd": found.sd, "low": found.low,
        "high": found.high, "next_share": found.next_share, "enough": found.enough,
    })
}

/// The figures of an example as this room computes them.
fn computed(kind: &str, input: &Value) -> Value {
    let of = |name: &str| numbers(&input[name]);
    let (a, b) = (|| of("a"), || of("b"));
    match kind {
        "nap" => {
            let found = nap(&a(), &b()).unwrap();
            json!({"nap": found.nap, "nap_low": found.low, "nap_high": found.high})
        }
        "nap_se" => json!({"se": nap_standard_error(&a(), &b())}),
        "tau" => json!({"tau": tau(&a(), &b())}),
        "tau_u" => json!({"tau_u": tau_u(&a(), &b())}),
        "tau_bc" => {
            let phase = |day, value| pairs(&input[day], &input[value]);
            let found = corrected_tau(&phase("a_day", "a"), &phase("b_day", "b")).unwrap();
            json!({"tau_bc": found.tau, "corrected": found.corrected, "trend_p": found.trend_p})
        }
        "tau_b" => {
            let (s, tau_b) = tau_b(&pairs(&input["x"], &input["y"]));
            json!({"s": s, "tau_b": tau_b})
        }
        "kendall_p" => json!({"p": kendall_p(&of("y"))}),
        "theil_sen" | "theil_sen_slope" => {
            let level = input["level"].as_f64().unwrap_or(0.95);
            let found = theil_sen(&pairs(&input["x"], &input["y"]), factor(level)).unwrap();
            json!({"slope": found.per_day, "low": found.low, "high": found.high})
        }
        "log_response_ratio" => {
            let found = change(&a(), &b()).unwrap();
            json!({
                "log_response_ratio": found.ratio.map(|ratio| ratio.log_response_ratio),
                "se": found.ratio.map(|ratio| ratio.se),
                "mean_difference": found.mean_difference,
            })
        }
        "kappa" => {
            let table: Vec<Vec<u64>> = input["table"].as_array().unwrap().iter().map(counts).collect();
            let found = kappa(&table).unwrap();
            let mut fields = json!({"agreement_percent": found.agreement_percent, "kappa": found.kappa.ok()});
            if let Err(reason) = found.kappa {
                fields["kappa_reason"] = reason.code().into();
            }
            fields
        }
        "ioa_total" | "ioa_mean_count" | "ioa_exact" => {
            let found = count_agreement(&counts(&input["a"]), &counts(&input["b"])).unwrap();
            json!({"percent": match kind {
                "ioa_total" => found.total,
                "ioa_mean_count" => found.mean_count,
                _ => found.exact,
            }})
        }
        "ioa_interval" | "ioa_scored" | "ioa_unscored" => {
            let found = interval_agreement(&marks(&input["a"]), &marks(&input["b"])).unwrap();
            json!({"percent": match kind {
                "ioa_interval" => Some(found.interval),
                "ioa_scored" => found.scored,
                _ => found.unscored,
            }})
        }
        "mean" => json!({"mean": mean(&of("values"))}),
        "percentile" => {
            let found = percentile(&of("recent"), input["w"].as_f64().unwrap()).unwrap();
            json!({"k": found.k, "rank": found.rank, "criterion": found.criterion})
        }
        "sampling" => {
            let bouts: Vec<(f64, f64)> =
                input["bouts_s"].as_array().unwrap().iter().map(numbers).map(|b| (b[0], b[1])).collect();
            let found =
                sampling(&bouts, input["length_s"].as_f64().unwrap(), input["interval_s"].as_f64().unwrap()).unwrap();
            json!({
                "duration_share": found.duration_share, "partial": found.partial, "whole": found.whole,
                "momentary": found.momentary,
            })
        }
        "tolerance" => {
            tolerance_fields(&tolerance(&parse(input["csv"].as_str().unwrap(), "example").unwrap()).unwrap())
        }
        other => panic!("no check for examples of the kind `{other}`"),
    }
}

#[test]
fn every_worked_example_comes_out_as_printed() {
    let examples: Vec<Value> = serde_json::from_str(&oracle("examples.json")).unwrap();
    assert_eq!(examples.len(), 60);
    for example in &examples {
        let (id, kind) = (example["id"].as_str().unwrap(), example["kind"].as_str().unwrap());
        let found = computed(kind, &example["input"]);
        for (field, expected) in example["expected"].as_object().unwrap() {
            let what = format!("{id} {field}");
            let value = found.get(field).unwrap_or_else(|| panic!("{what}: not computed"));
            let ends = kind == "tolerance" && (field == "low" || field == "high");
            let tolerance = if ends { GRID_STEP } else { example["tol"].as_f64().unwrap() };
            if expected.is_string() || expected.is_boolean() {
                assert_eq!(value, expected, "{what}");
            } else {
                same(&what, value.as_f64(), expected, tolerance);
            }
        }
    }
}
