//! The commands that hand cases over and oversee many: packs out and in, tables, the caseload.

use std::path::{Path, PathBuf};

use crate::contract::MergeDoc;
use crate::devices;
use crate::tasks::{Refusal, carrying, caseload, cases, exports, files, handovers, keeping, pooling};

use super::Ending;
use super::arguments::Format;
use super::arguments_case::{CarryArguments, CaseloadArguments, CollectArguments, PackArguments};
use super::commands::{Done, answer};
use super::show_hand;
use super::world::World;

/// The passphrases of a file, or one asked at the terminal. Never from the command line: that is seen by others.
fn passphrases(file: Option<&Path>, prompt: &str, world: &mut World<'_>) -> Result<Vec<String>, Refusal> {
    if let Some(file) = file {
        return handovers::passphrases(&files::read_text(file, world.stdin)?);
    }
    let asked = devices::ask_secret(&world.tongue.laid_out(prompt))
        .map_err(|error| Refusal::new("no-passphrase-given", error.to_string()))?;
    asked.map(|one| vec![one]).ok_or_else(|| {
        Refusal::new("no-passphrase-given", "there is no terminal to ask for the passphrase at")
            .hint("give --passphrase-file FILE, a file whose first line is the passphrase")
    })
}

/// Whether an alias is nobody's name and no date: asked at the terminal where it looks like one.
pub(super) fn is_sure(alias: &str, world: &World<'_>) -> Result<bool, Refusal> {
    let Some(doubt) = cases::alias_doubt(alias) else { return Ok(true) };
    let question = format!("{doubt}. Is it an alias that only the people of the case know? [yes/no] ");
    let asked = devices::ask_yes(&world.tongue.laid_out(&question))
        .map_err(|error| Refusal::new("alias", error.to_string()))?;
    Ok(asked.unwrap_or(false))
}

/// Seals a case.
pub(super) fn pack(arguments: &PackArguments, format: Format, world: &mut World<'_>) -> Done {
    let packing = handovers::plan(&arguments.dir, &arguments.out, arguments.place.as_deref(), world.now)?;
    // A program reads it in the result; a person reads it before it is sealed.
    if format == Format::Text {
        world.say(show_hand::planned(&packing.doc).trim_end());
    }
    let given = passphrases(arguments.passphrase_file.as_deref(), "Passphrase: ", world)?;
    let passphrase = given.first().cloned().unwrap_or_default();
    if arguments.passphrase_file.is_none() && passphrases(None, "The same again: ", world)?.first() != Some(&passphrase)
    {
        return Err(Refusal::new("passphrases-differ", "the two passphrases differ")
            .hint("try again; nothing was written")
            .into());
    }
    let doc = handovers::seal(packing, &arguments.out, &passphrase)?;
    if let Some(caution) = handovers::too_short(&passphrase) {
        world.say(caution);
    }
    answer(&doc, format, world, show_hand::packed)
}

/// Adds a file that was handed over to a case; a passphrase is asked for where it is sealed.
pub(super) fn merge(
    into: &Path,
    file: &Path,
    passphrase: Option<&Path>,
    same_child: bool,
    world: &mut World<'_>,
) -> Result<MergeDoc, Refusal> {
    let given = if handovers::is_sealed(file)? { passphrases(passphrase, "Passphrase: ", world)? } else { Vec::new() };
    keeping::merge_pack(into, file, given.first().map(String::as_str), same_child)
}

/// Makes the file for a phone.
pub(super) fn carry(arguments: &CarryArguments, format: Format, world: &mut World<'_>) -> Done {
    let doc = carrying::carry(arguments.case.as_deref(), arguments.template.as_deref(), &arguments.out, world.now)?;
    answer(&doc, format, world, show_hand::carried)
}

/// Opens a pack.
pub(super) fn unpack(
    file: &Path,
    into: &Path,
    passphrase: Option<&Path>,
    format: Format,
    world: &mut World<'_>,
) -> Done {
    handovers::can_unpack(file, into)?;
    let given = passphrases(passphrase, "Passphrase: ", world)?;
    let doc = handovers::unpack(file, into, given.first().map_or("", String::as_str))?;
    answer(&doc, format, world, show_hand::unpacked)
}

/// Opens a folder of packs. Exit 1 when one of them failed.
pub(super) fn collect(arguments: &CollectArguments, format: Format, world: &mut World<'_>) -> Done {
    let given = passphrases(arguments.passphrase_file.as_deref(), "Passphrase: ", world)?;
    let doc = handovers::collect(&arguments.folder, &arguments.into, &given)?;
    answer(&doc, format, world, show_hand::collected)?;
    if doc.failed.is_empty() { Ok(()) } else { Err(Ending::Findings) }
}

/// Writes tables.
pub(super) fn export(dir: &Path, out: &Path, anonymous: bool, format: Format, world: &mut World<'_>) -> Done {
    let doc = exports::export(dir, out, anonymous)?;
    answer(&doc, format, world, show_hand::exported)
}

/// Shows all cases.
pub(super) fn caseload(arguments: &CaseloadArguments, format: Format, world: &mut World<'_>) -> Done {
    let (folder, on): (&PathBuf, Option<&str>) = (&arguments.folder, arguments.on.as_deref());
    if let Some(out) = &arguments.out {
        return answer(&pooling::learn(folder, out, world.now)?, format, world, show_hand::learned_scale);
    }
    let doc = match &arguments.print {
        Some(print) => {
            let (doc, html) = caseload::pile(folder, on, &world.tongue.paper_speaker(), world.now)?;
            files::write(print, html.as_bytes())?;
            world.say(&format!("The day's sheets are in {}; open it in a browser and print it.", files::shown(print)));
            doc
        }
        None => caseload::caseload(folder, on, world.now)?,
    };
    answer(&doc, format, world, show_hand::caseload)
}
