//! Every figure of every picture of `tests/oracle/photo`, against a reference written in another language.

use std::collections::BTreeMap;
use std::fs;
use std::path::PathBuf;
use std::sync::Mutex;

use serde_json::Value;
use stillroom::photo::{Measured, Refusal, measure};

fn folder() -> PathBuf {
    PathBuf::from(env!("CARGO_MANIFEST_DIR")).join("tests/oracle/photo")
}

pub(crate) fn bytes(name: &str) -> Vec<u8> {
    fs::read(folder().join(name)).unwrap()
}

pub(crate) fn expected() -> Value {
    serde_json::from_slice(&bytes("expected.json")).unwrap()
}

/// Measured once however many tests ask: measuring is the dearest part of these tests.
pub(crate) fn measured(name: &str) -> Measured {
    static KNOWN: Mutex<BTreeMap<String, Measured>> = Mutex::new(BTreeMap::new());
    let known = KNOWN.lock().unwrap().get(name).cloned();
    known.unwrap_or_else(|| {
        let photo = measure(&bytes(name)).unwrap_or_else(|refusal| panic!("{name}: {refusal}"));
        KNOWN.lock().unwrap().insert(name.to_owned(), photo.clone());
        photo
    })
}

fn figure(photo: &Measured, path: &str) -> f64 {
    match path {
        "photo.width" => f64::from(photo.width),
        "photo.height" => f64::from(photo.height),
        "measures.edge_share" => photo.measures.edge_share,
        "measures.variability" => photo.measures.variability,
        "measures.components" => photo.measures.components as f64,
        "measures.chroma_share" => photo.measures.chroma_share,
        "measures.colourfulness" => photo.measures.colourfulness,
        "measures.clutter" => photo.measures.clutter,
        "measures.colour" => photo.measures.colour,
        "busyness" => photo.busyness,
        "busyness_sd" => photo.busyness_sd,
        "busy_places:count" => photo.busy_places.len() as f64,
        other => panic!("unknown figure {other}"),
    }
}

fn numbers(value: &Value) -> Vec<f64> {
    value.as_array().unwrap().iter().map(|v| v.as_f64().unwrap()).collect()
}

/// The least overlap (common area over joint area) of a busy place with the expected one.
const OVERLAP: f64 = 0.6;

/// What is wrong with one figure of one photo, if anything.
fn fault(photo: &Measured, path: &str, expected: &Value) -> Option<String> {
    if let Some(code) = path.strip_prefix("quality.warnings:") {
        let present = photo.warnings.iter().any(|warning| warning.code() == code);
        return (present != expected["present"].as_bool().unwrap()).then(|| format!("present {present}"));
    }
    match path {
        "busy_places:first-inside" => {
            let region = numbers(&expected["region"]);
            let first = photo.busy_places.first()?;
            let (x, y) = (first.x + first.width / 2.0, first.y + first.height / 2.0);
            let inside = x >= region[0] && y >= region[1] && x <= region[2] && y <= region[3];
            (!inside).then(|| format!("{first:?}"))
        }
        "busy_places:first" => {
            let wanted = numbers(&expected["box"]);
            let Some(first) = photo.busy_places.first() else { return Some("no busy place".into()) };
            let across = (first.x + first.width).min(wanted[0] + wanted[2]) - first.x.max(wanted[0]);
            let down = (first.y + first.height).min(wanted[1] + wanted[3]) - first.y.max(wanted[1]);
            let common = across.max(0.0) * down.max(0.0);
            let joint = first.width * first.height + wanted[2] * wanted[3] - common;
            let share_off = (first.share - expected["share"].as_f64().unwrap()).abs();
            (common / joint < OVERLAP || share_off > expected["tol"].as_f64().unwrap()).then(|| format!("{first:?}"))
        }
        _ => {
            let (value, tolerance) = (expected["value"].as_f64().unwrap(), expected["tol"].as_f64().unwrap());
            let found = figure(photo, path);
            ((found - value).abs() > tolerance).then(|| format!("found {found}, expected {value} ± {tolerance}"))
        }
    }
}

#[test]
fn every_figure_of_every_picture_is_within_its_tolerance() {
    let expected = expected();
    let mut faults = Vec::new();
    for (name, figures) in expected["files"].as_object().unwrap() {
        let photo = measured(name);
        for (path, wanted) in figures.as_object().unwrap() {
            if let Some(fault) = fault(&photo, path, wanted) {
                faults.push(format!("{name} {path}: {fault}"));
            }
        }
        let sum = 0.75 * photo.measures.clutter + 0.25 * photo.measures.colour;
        assert!((photo.busyness - sum).abs() < 1e-9);
        assert!(photo.busy_places.len() <= 5 && photo.busy_places.is_sorted_by(|a, b| a.share >= b.share));
    }
    assert!(faults.is_empty(), "{}", faults.join("\n"));
}

#[test]
fn every_bad_picture_is_refused() {
    for (name, wanted) in expected()["bad"].as_object().unwrap() {
        let refusal: Refusal = measure(&bytes(name)).err().unwrap_or_else(|| panic!("{name} was measured"));
        assert!(!refusal.hint().is_empty());
        if wanted["how"] == "refused-heic" {
            assert!(refusal.to_string().contains("HEIC") && refusal.hint().contains("JPEG"));
        }
    }
}

#[test]
fn one_room_in_other_light_or_turned_is_as_busy() {
    for group in expected()["same"].as_array().unwrap() {
        let found: Vec<f64> =
            group["files"].as_array().unwrap().iter().map(|name| measured(name.as_str().unwrap()).busyness).collect();
        let spread = found.iter().copied().fold(f64::MIN, f64::max) - found.iter().copied().fold(f64::MAX, f64::min);
        assert!(spread <= group["spread"].as_f64().unwrap(), "{found:?}");
    }
}

#[test]
fn more_things_are_busier() {
    for row in expected()["rising"].as_array().unwrap() {
        let found: Vec<f64> =
            row.as_array().unwrap().iter().map(|name| measured(name.as_str().unwrap()).busyness).collect();
        assert!(found.is_sorted_by(|a, b| a < b), "{found:?}");
    }
}
