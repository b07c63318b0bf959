//! Weighted kappa against printed values of other programs, and what two people's answers say about an answer's doubt.

use proptest::prelude::{prop, proptest};
use stillroom::checklist::{Answers, Checklist, parse, parse_answers};
use stillroom::practice::{Weights, agree_answers, agree_items, kappa, weighted_kappa};

/// The printed values have four decimals.
const FOUR_DECIMALS: f64 = 5e-5;
/// Sums of a few dozen f64.
const ROUNDING: f64 = 1e-12;

#[track_caller]
fn weighted(table: &[Vec<u64>], weights: Weights) -> f64 {
    weighted_kappa(table, weights).unwrap().unwrap()
}

#[test]
fn weighted_kappa_is_that_of_other_programs() {
    // The worked example of the SAS manual, as carried in the tests of statsmodels: linear 0.4701.
    let manual = [vec![0, 4, 1], vec![0, 8, 0], vec![0, 1, 5]];
    assert!((weighted(&manual, Weights::Linear) - 0.4701).abs() < FOUR_DECIMALS);
    // The example in the tests of scikit-learn: linear 0.9412, quadratic 0.9541.
    let other = [vec![46, 0, 0], vec![4, 40, 0], vec![0, 0, 10]];
    assert!((weighted(&other, Weights::Linear) - 0.9412).abs() < FOUR_DECIMALS);
    assert!((weighted(&other, Weights::Quadratic) - 0.9541).abs() < FOUR_DECIMALS);
}

/// The definition [COHEN1968] in the plainest way: every pair of subjects of the two margins.
fn by_definition(table: &[Vec<u64>], power: i32) -> f64 {
    let weight = |i: usize, j: usize| (i.abs_diff(j) as f64).powi(power);
    let pairs: Vec<(usize, usize)> = table
        .iter()
        .enumerate()
        .flat_map(|(i, row)| {
            row.iter()
                .enumerate()
                .flat_map(move |(j, count)| std::iter::repeat_n((i, j), usize::try_from(*count).unwrap()))
        })
        .collect();
    let observed: f64 = pairs.iter().map(|(i, j)| weight(*i, *j)).sum::<f64>() / pairs.len() as f64;
    let chance: f64 = pairs.iter().flat_map(|(i, _)| pairs.iter().map(|(_, j)| weight(*i, *j))).sum::<f64>();
    1.0 - observed / (chance / (pairs.len() * pairs.len()) as f64)
}

proptest! {
    #[test]
    fn weighted_kappa_is_its_definition(counts in prop::collection::vec(0u64..6, 16)) {
        let table: Vec<Vec<u64>> = counts.chunks(4).map(<[u64]>::to_vec).collect();
        for (weights, power) in [(Weights::Linear, 1), (Weights::Quadratic, 2)] {
            let Some(Ok(found)) = weighted_kappa(&table, weights) else { continue };
            assert!((found - by_definition(&table, power)).abs() < ROUNDING, "{table:?}");
            assert!(found <= 1.0);
        }
    }

    #[test]
    fn who_is_called_first_does_not_matter(counts in prop::collection::vec(0u64..6, 9)) {
        let table: Vec<Vec<u64>> = counts.chunks(3).map(<[u64]>::to_vec).collect();
        let turned: Vec<Vec<u64>> = (0..3).map(|j| (0..3).map(|i| table[i][j]).collect()).collect();
        assert_eq!(weighted_kappa(&table, Weights::Linear), weighted_kappa(&turned, Weights::Linear));
    }
}

#[test]
fn of_two_classes_it_is_the_plain_kappa() {
    let table = [vec![20, 5], vec![10, 15]];
    let plain = kappa(&table).unwrap().kappa.unwrap();
    assert!((weighted(&table, Weights::Linear) - plain).abs() < ROUNDING);
}

const LIST: &str = r#"
format = "stillroom.checklist/1"
id = "counts"
"#;

fn list() -> Checklist {
    let item = |name: &str| {
        format!(
            "[[item]]\nid = \"{name}\"\nsurface = \"table\"\nchannel = \"seen\"\nask = \"How many?\"\nunit = \"count\"\n\
             alone = 20\nhalf = 4\nevidence = \"convention\"\nremedy = \"Away.\"\nminutes = 1\n"
        )
    };
    parse(&format!("{LIST}{}{}{}{}", item("a"), item("b"), item("c"), item("d")), "counts.toml").unwrap()
}

fn answers(a: &str, b: &str, c: &str, d: &str) -> Answers {
    let text = format!(
        "format = \"stillroom.answers/1\"\nchecklist = \"counts\"\nplace = \"p\"\ndate = \"2026-10-05\"\nby = \"x\"\n[answers]\n\
         a = {a}\nb = {b}\nc = {c}\nd = {d}\n"
    );
    parse_answers(&text, "a.toml", &list()).unwrap()
}

#[test]
fn the_doubt_of_an_answer_is_worked_by_hand() {
    let found = agree_items(&answers("4", "4", "2", "0"), &answers("8", "4", "2", "1"), &list());
    // p(4) = 0.20·½ = 0.10, u = 0.105361; p(8) = 0.20·¾ = 0.15, u = 0.162519. ln 0.162519 − ln 0.105361 = 0.433403.
    // Of the others one pair differs not at all (twice), and one was 0 for one of the two: three items, so
    // σ² = 0.433403² / 6 = 0.031306, σ = 0.176937.
    let sd = found.answer_sd.unwrap();
    assert_eq!(sd.n, 3);
    assert!((sd.observed - 0.176_937).abs() < 5e-6, "{}", sd.observed);
    // χ² with 3 degrees of freedom: 0.2158 and 9.3484. √(0.093919/9.3484) = 0.10023, √(0.093919/0.2158) = 0.65971.
    assert!((sd.low - 0.1002).abs() < 1e-4 && (sd.high - 0.6597).abs() < 1e-3, "{sd:?}");
    let agree: Vec<bool> = found.pairs.iter().map(|pair| pair.agree).collect();
    assert_eq!(agree, [false, true, true, true], "counts agree within one");
    assert!((found.pairs[0].pull_difference - 0.057_158).abs() < 2e-6);
    // Classes of 20 percent: 0.10 is the second quarter, 0.15 the third; 0.0586 (two things) the second, one thing
    // (0.0318) the first, none is absent. Off the diagonal: (2, 3) and (0, 1).
    assert_eq!(found.weighted_n, 4);
    let table =
        [vec![0, 1, 0, 0, 0], vec![0, 0, 0, 0, 0], vec![0, 0, 2, 1, 0], vec![0, 0, 0, 0, 0], vec![0, 0, 0, 0, 0]];
    assert!((found.weighted.unwrap().unwrap() - weighted(&table, Weights::Linear)).abs() < ROUNDING);
}

#[test]
fn what_only_one_saw_is_left_out_and_named() {
    let found = agree_items(&answers("4", "\"not seen\"", "2", "0"), &answers("4", "4", "2", "0"), &list());
    assert_eq!(found.only_one.iter().map(ToString::to_string).collect::<Vec<_>>(), ["b"]);
    assert_eq!((found.pairs.len(), found.answer_sd), (3, None));
}

/// Kappa on present or absent by hand: counts above nothing are there, as is a yes.
#[test]
fn counts_and_yeses_are_there_or_not() {
    let of = |counts: &str, yeses: [bool; 4]| {
        let [e, f, g, h] = yeses;
        let text = format!(
            "format = \"stillroom.answers/1\"\nchecklist = \"mixed\"\nplace = \"p\"\ndate = \"2026-10-05\"\nby = \"x\"\n[answers]\n\
             a = {counts}\ne = {e}\nf = {f}\ng = {g}\nh = {h}\n"
        );
        parse_answers(&text, "a.toml", &mixed()).unwrap()
    };
    let found = agree_answers(&of("3", [true, true, true, false]), &of("0", [false, true, true, false]), None).unwrap();
    // Both there 2, both absent 1, only the first there 2: 3 of 5 agree; by chance (4·2 + 1·3)/25 = 0.44.
    assert_eq!((found.n, found.agreement_percent), (5, 60.0));
    assert!((found.kappa.unwrap() - (0.60 - 0.44) / (1.0 - 0.44)).abs() < ROUNDING);
}

fn mixed() -> Checklist {
    let item = |name: &str, unit: &str| {
        format!(
            "[[item]]\nid = \"{name}\"\nsurface = \"table\"\nchannel = \"seen\"\nask = \"Is it?\"\n{unit}\n\
             alone = 20\nevidence = \"convention\"\nremedy = \"Away.\"\nminutes = 1\n"
        )
    };
    let items: String = ["e", "f", "g", "h"].iter().map(|name| item(name, "unit = \"yes\"")).collect();
    let text = format!(
        "format = \"stillroom.checklist/1\"\nid = \"mixed\"\n{}{items}",
        item("a", "unit = \"count\"\nhalf = 4")
    );
    parse(&text, "mixed.toml").unwrap()
}
