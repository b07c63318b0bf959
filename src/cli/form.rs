//! `form`: printable sheets.

use std::path::PathBuf;

use clap::Args;

use crate::contract;
use crate::tasks::papers::Printing;
use crate::tasks::{checklists, files, papers, reviews};

use super::arguments::Format;
use super::commands::{Done, answer};
use super::show_form;
use super::world::World;

#[derive(Debug, Args)]
pub(super) struct FormArguments {
    /// The sheet, by its name in `form --list`
    #[arg(value_name = "NAME", required_unless_present = "list")]
    name: Option<String>,
    /// List the sheets
    #[arg(long, conflicts_with = "name")]
    list: bool,
    /// Fill in what the case knows
    #[arg(long, value_name = "DIR")]
    pub(super) case: Option<PathBuf>,
    /// The checklist of the sheet `checklist`
    #[arg(long, value_name = "ID|FILE", default_value = "home-corner")]
    checklist: String,
    /// A day of the week that a case's sheet is for; left out: this week
    #[arg(long, value_name = "YYYY-MM-DD")]
    week: Option<String>,
    /// The file to write; left out: NAME.html at a terminal, else standard output
    #[arg(long, value_name = "FILE")]
    out: Option<PathBuf>,
}

/// Lists the sheets or makes one.
pub(super) fn run(arguments: FormArguments, format: Format, world: &mut World<'_>) -> Done {
    let language = world.tongue.language();
    let Some(name) = arguments.name.filter(|_| !arguments.list) else {
        return answer(&papers::list(language), format, world, show_form::list);
    };
    let list = checklists::find(&arguments.checklist, world.stdin)?.list;
    let day = arguments.week.as_deref().map_or_else(|| Ok(world.today()), reviews::read_date)?;
    let printing = Printing { now: world.now, day };
    let doc = papers::form(&name, arguments.case.as_deref(), &list, language, printing)?;
    let out = match arguments.out {
        None if world.stdout_is_terminal && format == Format::Text => Some(files::free_name_with(&doc.name, "html")),
        out => out.filter(|path| path.as_os_str() != "-"),
    };
    let Some(out) = out else {
        return match format {
            Format::Json => answer(&doc, format, world, |_| String::new()),
            Format::Text => Ok(world.hand_out(&doc.html)?),
        };
    };
    files::write(&out, doc.html.as_bytes())?;
    answer(&contract::WrittenDoc { file: files::shown(&out) }, format, world, |doc| {
        format!("The sheet is in {}; open it in a browser and print it.\n", doc.file)
    })
}
