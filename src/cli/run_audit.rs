//! `audit` and `agree`: arguments become requests, results are printed.

use crate::case::Case;
use crate::contract::CompareDoc;
use crate::tasks::rechecks::{self, Recheck};
use crate::tasks::{
    AuditRequest, Named, Refusal, SoundRequest, agreements, audits, checklists, files, photos, sensitivities, sounds,
};

use super::arguments::Format;
use super::arguments_audit::{AgreeArguments, AuditArguments};
use super::ask;
use super::commands::{Done, answer, calibration};
use super::paint::{bold, wrapped};
use super::progress::Progress;
use super::record;
use super::world::World;
use super::{show_agreement, show_audit};

/// What keeping photos means.
const KEPT_PHOTOS: &str = "A small copy of each photo is in the case: at most 512 pixels, without place, time or device. What can be seen in it, \
    people and names too, stays to be seen by whoever can open the folder or is handed the case, until the case is erased. \
    The photo itself is still in the phone's gallery and its backup: delete it there.";

/// Does one audit.
pub(super) fn run(mut arguments: AuditArguments, format: Format, world: &mut World<'_>) -> Done {
    // The case is opened first, so that nobody measures for a minute only to hear that the folder is wrong.
    let case = arguments.case.as_deref().map(Case::open).transpose().map_err(Refusal::from)?;
    let recheck = match (&case, &arguments.recheck) {
        (Some(case), Some(wanted)) => Some(rechecks::prepare(case, wanted)?),
        _ => None,
    };
    if let (Some(recheck), true) = (&recheck, arguments.blank) {
        return Ok(world.hand_out(&recheck.blank(world.today()))?);
    }
    let checklist = match (&recheck, &arguments.checklist) {
        (Some(recheck), _) => recheck.checklist.clone(),
        (None, id) => checklists::find(id.as_deref().unwrap_or_default(), world.stdin)?,
    };
    let scale = match (&arguments.scale, &recheck) {
        (Some(path), _) => Some(files::read_text(path, world.stdin)?),
        (None, Some(recheck)) => {
            Some(Named { name: "the earlier audit's scale".to_owned(), content: recheck.earlier.scale_text.clone() })
        }
        (None, None) => None,
    };
    let set = sensitivities::read(
        &arguments.sensitivity,
        arguments.sensitivity_note.as_deref(),
        &audits::read_scale(scale.as_ref())?,
    )?;
    let sensitivity = match (set, &recheck, &case) {
        (Some(set), ..) => Some(set),
        (None, Some(recheck), _) => recheck.sensitivity(),
        (None, None, Some(case)) => sensitivities::newest(case)?,
        (None, None, None) => None,
    };
    let gathered = ask::gather(&arguments, case.as_ref(), &checklist, recheck.as_ref(), world)?;
    arguments.photos.extend(gathered.photos);

    let progress = Progress::new("measuring", world.stderr_is_terminal);
    let sound = match arguments.sound {
        Some(file) => {
            let request = SoundRequest {
                file,
                calibration: calibration(&arguments.calibration, world)?,
                sd_db: arguments.calibration.sd,
                when: arguments.when.map(record::occasion),
                voice: arguments.voice,
                decay: false,
                band_history: false,
                child_audible: arguments.child_audible,
            };
            Some(sounds::sound(&request, world.stdin, &mut |share| progress.at(share))?)
        }
        None => None,
    };
    let measured = photos::photos(&arguments.photos, world.stdin, &mut |share| progress.at(share))?;
    drop(progress);
    let kept_photos = match arguments.keep_photos {
        true => measured.iter().map(photos::reduced).collect::<Result<_, _>>()?,
        false => Vec::new(),
    };
    let mut result = audits::audit(AuditRequest {
        place: arguments.place,
        checklist,
        answers: gathered.answers,
        keep: case
            .as_ref()
            .map_or(Ok(Vec::new()), |case| case.child().map(|child| child.keep))
            .map_err(Refusal::from)?,
        sound,
        child_audible: arguments.child_audible,
        photos: measured.into_iter().map(|photo| photo.doc).collect(),
        kept_photos,
        scale,
        minutes: arguments.minutes,
        sensitivity,
        recheck: gathered.recheck,
    })?;
    if let Some(case) = &case {
        result.figures.id = audits::store(case, &result, world.now)?;
        world.say(&format!("Stored as {} in {}.", result.figures.id, files::shown(case.folder())));
        if !result.kept_photos.is_empty() {
            world.say(KEPT_PHOTOS);
        }
        // Stored is stored: what is left of the walk would only be offered again.
        if let Some(keeper) = &gathered.keeper {
            keeper.forget()?;
        }
    }
    let change = recheck.as_ref().map(|recheck| against(recheck, &result)).transpose()?;
    let calculation = result.calculation;
    if arguments.explain && format == Format::Json {
        result.figures.calculation.clone_from(&calculation);
    }
    answer(&result.figures, format, world, |doc| {
        let mut text = show_audit::audit(doc);
        if let Some((date, change)) = &change {
            text.push_str(&format!(
                "\n{}\n{}",
                bold(&format!("Against the audit of {date}")),
                show_audit::compared(change)
            ));
        }
        if arguments.explain {
            text.push_str(&format!("\n{}\n", bold("The calculation, line by line")));
            for line in &calculation {
                text.push_str(&wrapped("  ", line));
            }
            text.push_str(&wrapped("  ", "The word in square brackets says what the constants of a line rest on: standard, published, practice or convention."));
        }
        text
    })?;
    if let Some(keeper) = &gathered.keeper {
        keeper.forget()?;
    }
    Ok(())
}

/// What changed since the audit that was rechecked.
fn against(recheck: &Recheck, result: &audits::AuditResult) -> Result<(String, CompareDoc), Refusal> {
    let mut now = result.body.clone();
    now.figures.id.clone_from(&result.figures.id);
    Ok((recheck.earlier.figures.date.clone(), audits::compare(&recheck.earlier, &now)?))
}

/// Says how well two people agree.
pub(super) fn agree(arguments: &AgreeArguments, format: Format, world: &mut World<'_>) -> Done {
    let list = arguments.checklist.as_deref().map(|list| checklists::find(list, world.stdin)).transpose()?;
    let (first, second) =
        (files::read_text(&arguments.first, world.stdin)?, files::read_text(&arguments.second, world.stdin)?);
    let doc = agreements::agree(&first, &second, list)?;
    answer(&doc, format, world, show_agreement::agreement)
}
