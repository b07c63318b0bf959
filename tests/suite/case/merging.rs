//! Merging is the union of two folders: in any order, in any grouping, once or twice, it comes out the same.

use std::collections::BTreeMap;
use std::fs;
use std::path::Path;

use proptest::prelude::*;
use stillroom::case::{Case, CaseFault, History, merge};
use stillroom::contract::RecordDoc;

use super::made::{case, child, names, note};

/// Every file of a folder with its bytes.
fn content(folder: &Path) -> BTreeMap<String, Vec<u8>> {
    names(folder).into_iter().map(|name| (name.clone(), fs::read(folder.join(&name)).unwrap())).collect()
}

/// Twelve records that correct one another in chains and in competing pairs.
fn pool() -> Vec<RecordDoc> {
    let mut pool: Vec<RecordDoc> = Vec::new();
    for number in 0..12u32 {
        let mut record = note(number * 7 % 12, &format!("note {number}"));
        if number >= 4 {
            let older = &pool[(number as usize * 5) % (number as usize)];
            record.replaces = Some(Case::name_for(older).unwrap().id);
        }
        pool.push(record);
    }
    pool
}

fn filled(folder: &Path, chosen: &[bool]) -> Case {
    let (case, _) = Case::create(folder, &child("Fern")).unwrap();
    for (record, _) in pool().iter().zip(chosen).filter(|(_, chosen)| **chosen) {
        case.add(record).unwrap();
    }
    case
}

/// The merge of cases in this order, in a new folder; its content and what stands.
#[expect(clippy::type_complexity, reason = "content, what stands, what conflicts: read in one place")]
fn merged(outer: &Path, name: &str, cases: &[&Case]) -> (BTreeMap<String, Vec<u8>>, Vec<String>, Vec<Vec<String>>) {
    let folder = outer.join(name);
    let (into, _) = Case::create(&folder, &child("Fern")).unwrap();
    for from in cases {
        let done = merge(&into, from, false).unwrap();
        assert!(done.left_out.is_empty(), "{:?}", done.left_out);
    }
    let standing = into.standing(|kind| kind == "note").unwrap().records;
    let history = History::of(&into.read().unwrap().records);
    (content(&folder), standing.into_iter().map(|stored| stored.name.id).collect(), history.conflicts().to_vec())
}

/// A folder on a disk in memory, where there is one: the laws of merging are about what is there, and thousands of syncs of a
/// real disk would tell nothing more. That syncs are made and suffice is the crash test's business.
fn in_memory() -> tempfile::TempDir {
    tempfile::tempdir_in("/dev/shm").or_else(|_| tempfile::tempdir()).unwrap()
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 24, ..ProptestConfig::default() })]

    #[test]
    fn merging_does_not_depend_on_order_grouping_or_repetition(
        a in prop::collection::vec(any::<bool>(), 12),
        b in prop::collection::vec(any::<bool>(), 12),
        c in prop::collection::vec(any::<bool>(), 12),
    ) {
        let outer = in_memory();
        let at = |name: &str| outer.path().join(name);
        let (a, b, c) = (filled(&at("a"), &a), filled(&at("b"), &b), filled(&at("c"), &c));
        let whole = merged(outer.path(), "abc", &[&a, &b, &c]);
        prop_assert_eq!(&merged(outer.path(), "cba", &[&c, &b, &a]), &whole);
        prop_assert_eq!(&merged(outer.path(), "bacab", &[&b, &a, &c, &a, &b]), &whole);
        // (a + b) + c and a + (b + c).
        merge(&b, &c, false).unwrap();
        prop_assert_eq!(&merged(outer.path(), "a+bc", &[&a, &b]), &whole);
        merge(&a, &b, false).unwrap();
        prop_assert_eq!(&content(&at("a")), &whole.0);
        let again = merge(&a, &a, false).unwrap();
        prop_assert!(again.added.is_empty() && again.already == whole.0.len());
    }
}

#[test]
fn competing_corrections_are_both_kept_and_the_one_written_last_counts() {
    let outer = tempfile::tempdir().unwrap();
    let one = case(&outer.path().join("one"), "Fern", 1);
    let first = one.read().unwrap().records[1].name.id.clone();
    let other = Case::create(&outer.path().join("other"), &child("Fern")).unwrap().0;
    merge(&other, &one, false).unwrap();
    let correct = |case: &Case, second, text| {
        case.add(&RecordDoc { replaces: Some(first.clone()), ..note(second, text) }).unwrap().id
    };
    let here = correct(&one, 40, "rain in the morning");
    let there = correct(&other, 30, "rain in the evening");
    merge(&one, &other, false).unwrap();
    let found = one.read().unwrap();
    assert_eq!(found.records.len(), 4);
    let history = History::of(&found.records);
    assert_eq!(history.conflicts(), [vec![there.clone(), here.clone()]]);
    assert!(history.stands(&here) && !history.stands(&there) && !history.stands(&first));
    let checked = stillroom::case::check(&one, jiff::Timestamp::UNIX_EPOCH).unwrap();
    assert!(checked.findings.is_empty());
    assert_eq!(checked.notices[0].code, "competing-corrections");
}

#[test]
fn two_children_are_never_mixed_by_mistake() {
    let outer = tempfile::tempdir().unwrap();
    let fern = case(&outer.path().join("fern"), "Fern", 2);
    let moss = Case::create(&outer.path().join("moss"), &child("Moss")).unwrap().0;
    assert!(matches!(merge(&fern, &moss, false), Err(CaseFault::OtherChild { .. })));
    assert_eq!(names(fern.folder()).len(), 3);
    merge(&fern, &moss, true).unwrap();
    assert_eq!(names(fern.folder()).len(), 4);
}

#[test]
fn what_is_damaged_is_left_out_and_never_spreads() {
    let outer = tempfile::tempdir().unwrap();
    let from = case(&outer.path().join("from"), "Fern", 3);
    let into = case(&outer.path().join("into"), "Fern", 1);
    let file = |case: &Case, number: usize| case.folder().join(&names(case.folder())[number]);
    let bad = file(&from, 2);
    fs::write(&bad, fs::read_to_string(&bad).unwrap().replace("note", "vote")).unwrap();
    fs::write(from.folder().join("holiday.txt"), "sea").unwrap();
    let done = merge(&into, &from, false).unwrap();
    assert_eq!(done.left_out.len(), 2, "{:?}", done.left_out);
    assert!(into.read().unwrap().left_out.is_empty());
    // A damaged file in the taking case keeps its place: nothing is written over it.
    let name = into.read().unwrap().records[1].name.to_string();
    fs::write(into.folder().join(&name), "damaged").unwrap();
    let source = case(&outer.path().join("source"), "Fern", 1);
    let done = merge(&into, &source, false).unwrap();
    assert!(
        matches!(&done.left_out[..], [CaseFault::Changed { name: changed }] if *changed == name),
        "{:?}",
        done.left_out
    );
    assert_eq!(fs::read_to_string(into.folder().join(&name)).unwrap(), "damaged");
}
