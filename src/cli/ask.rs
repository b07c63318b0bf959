//! Where an audit's answers come from: a file, standard input, or questions at a terminal, one after the other.

use std::path::PathBuf;

use jiff::civil::Date;

use crate::case::Case;
use crate::checklist::{self, Answers, Checklist, Step, Walk};
use crate::contract::RecheckDoc;
use crate::tasks::checklists::{self, ReadChecklist};
use crate::tasks::rechecks::Recheck;
use crate::tasks::walks::{Found, Keeper, Kept, filled};
use crate::tasks::{Named, Refusal, cases, files};

use super::Ending;
use super::arguments_audit::AuditArguments;
use super::paint::{bold, wrapped};
use super::show_walk;
use super::world::World;

/// How answers from a terminal are called in messages.
const AT_TERMINAL: &str = "the answers given at the terminal";

/// The answers to an audit, and what came with them.
pub(super) struct Gathered {
    /// As an answers file.
    pub(super) answers: Named<String>,
    /// Photos named at the terminal.
    pub(super) photos: Vec<PathBuf>,
    /// What was carried over, in a recheck.
    pub(super) recheck: Option<RecheckDoc>,
    /// Where the walk was kept, to be forgotten once the audit is done.
    pub(super) keeper: Option<Keeper>,
}

/// Gathers the answers.
pub(super) fn gather(
    arguments: &AuditArguments,
    case: Option<&Case>,
    list: &ReadChecklist,
    recheck: Option<&Recheck>,
    world: &mut World<'_>,
) -> Result<Gathered, Ending> {
    let (given, photos, keeper) = match &arguments.answers {
        Some(file) => {
            let text = files::read_text(file, world.stdin)?;
            let given = checklists::read_answers(&text, &list.list)?;
            let Some(recheck) = recheck else {
                return Ok(Gathered { answers: text, photos: Vec::new(), recheck: None, keeper: None });
            };
            let (answers, carried) = recheck.complete(&given, &text.name)?;
            return Ok(Gathered { answers, photos: Vec::new(), recheck: Some(carried), keeper: None });
        }
        None if !(world.stdin_is_terminal && world.stderr_is_terminal) => {
            return Err(nobody_to_ask(list, recheck).into());
        }
        None => walk(arguments, case, list, recheck, world)?,
    };
    let (answers, recheck) = match recheck {
        Some(recheck) => recheck.complete(&given, AT_TERMINAL).map(|(answers, doc)| (answers, Some(doc)))?,
        None => (Named { name: AT_TERMINAL.to_owned(), content: checklist::written_answers(&list.list, &given) }, None),
    };
    Ok(Gathered { answers, photos, recheck, keeper: Some(keeper) })
}

fn nobody_to_ask(list: &ReadChecklist, recheck: Option<&Recheck>) -> Refusal {
    let blank = match recheck {
        Some(recheck) => format!("stillroom audit --case DIR --recheck {} --blank", recheck.of),
        None => format!("stillroom checklist blank {}", list.list.id),
    };
    Refusal::new("answers-missing", "there are no answers, and this is no terminal at which somebody could be asked")
        .at("--answers")
        .hint(format!("give --answers FILE, or `--answers -` for standard input; `{blank}` prints a file to fill in"))
}

type Walked = (Answers, Vec<PathBuf>, Keeper);

/// Asks everything at the terminal.
fn walk(
    arguments: &AuditArguments,
    case: Option<&Case>,
    list: &ReadChecklist,
    recheck: Option<&Recheck>,
    world: &mut World<'_>,
) -> Result<Walked, Ending> {
    let keeper =
        Keeper::new(world.state.as_deref(), arguments.case.as_deref(), list, recheck.map(|one| one.of.as_str()));
    let wanted = |id: &checklist::ItemId| recheck.is_none_or(|recheck| recheck.asked.contains(id));
    let count = list.list.items.iter().filter(|item| wanted(&item.id)).count();
    world.say(show_walk::opening(&list.list, count).trim_end());
    let photos = match recheck {
        Some(_) if arguments.photos.is_empty() => photo_first(world)?,
        _ => Vec::new(),
    };
    let kept = resume(&keeper, list, count, world)?;
    let (about, mut walk) = match kept {
        Some(kept) => {
            let walk = Walk::new(&list.list, kept.answers.keep.clone(), wanted);
            let walk = walk.resumed(kept.at, &kept.answers.answers, &kept.answers.reasons);
            (kept.answers, walk)
        }
        None => {
            let about = about(arguments, case, &list.list, recheck, world)?;
            let walk = Walk::new(&list.list, about.keep.clone(), wanted);
            (about, walk)
        }
    };
    let mut keeping = Keeping { keeper: &keeper, list, about: &about, told: false };
    keeping.keep(&walk, world);
    ask_all(&mut walk, &mut keeping, world)?;
    Ok((filled(&about, &walk), photos, keeper))
}

/// Asks question after question, and at the end whether that is all.
fn ask_all(walk: &mut Walk, keeping: &mut Keeping<'_>, world: &mut World<'_>) -> Result<(), Ending> {
    loop {
        let Some(question) = walk.question() else {
            let Some(line) = world.ask(&show_walk::ending(walk))? else { return Err(stopped(keeping, world)) };
            match line.as_str() {
                "" | "y" | "yes" | "sí" | "si" => return Ok(()),
                "q" | "stop" | "quit" => return Err(stopped(keeping, world)),
                "b" | "back" if walk.back() => {}
                number if number.parse().is_ok_and(|number| walk.go_to(number)) => {}
                _ => world.say("  Enter, b, q, or the number of an item."),
            }
            continue;
        };
        let item = question.item.clone();
        let mut prompt = show_walk::question(&question);
        loop {
            let Some(line) = world.ask(&prompt)? else { return Err(stopped(keeping, world)) };
            match walk.hear(&line) {
                Step::Next | Step::Back => {
                    keeping.keep(walk, world);
                    break;
                }
                Step::Stop => return Err(stopped(keeping, world)),
                Step::Help => world.say(show_walk::help(&item).trim_end()),
                Step::Unclear(text) => world.say(wrapped("  ", &text).trim_end()),
            }
            prompt = "> ".to_owned();
        }
    }
}

/// Keeps the walk after every answer. What cannot be kept is said once and is no reason to stop.
struct Keeping<'a> {
    keeper: &'a Keeper,
    list: &'a ReadChecklist,
    about: &'a Answers,
    told: bool,
}

impl Keeping<'_> {
    fn keep(&mut self, walk: &Walk, world: &mut World<'_>) {
        let problem = match self.keeper.file() {
            None => Some("there is no folder of yours to keep it in".to_owned()),
            Some(_) => self.keeper.keep(self.list, walk, self.about, world.now).err().map(|refusal| refusal.message),
        };
        if let Some(problem) = problem.filter(|_| !self.told) {
            self.told = true;
            world.say(&format!("This walk cannot be kept if it is interrupted: {problem}."));
        }
    }
}

fn stopped(keeping: &Keeping<'_>, world: &mut World<'_>) -> Ending {
    world.say(match (keeping.told, keeping.keeper.file()) {
        (false, Some(_)) => {
            "\nStopped. The answers so far are kept on this computer; the same command goes on from here."
        }
        _ => "\nStopped. Nothing was kept.",
    });
    Ending::Stopped
}

/// The end of the input before there is anything to keep.
fn nothing_yet(world: &mut World<'_>) -> Ending {
    world.say("\nStopped. Nothing was kept.");
    Ending::Stopped
}

/// The walk that was interrupted, if there is one and it is to go on.
fn resume(keeper: &Keeper, list: &ReadChecklist, count: usize, world: &mut World<'_>) -> Result<Option<Kept>, Ending> {
    let kept = match keeper.found(list) {
        Found::Nothing => return Ok(None),
        Found::Walk(kept) => *kept,
        Found::Other(why) => {
            world.say(&wrapped("", &format!("\nA walk was kept here that cannot go on: {why}.")));
            return if yes("Start anew and let it go? [yes] ", world)? { Ok(None) } else { Err(nothing_yet(world)) };
        }
    };
    let answers = &kept.answers;
    let text = format!(
        "\nA walk of {} at `{}` by {} stopped at item {} of {count}.",
        answers.date,
        crate::words::printable(&answers.place),
        crate::words::printable(&answers.by),
        (kept.at + 1).min(count)
    );
    world.say(&text);
    if yes("Go on with it? [yes] ", world)? {
        return Ok(Some(kept));
    }
    if yes("Start anew and let it go? [yes] ", world)? { Ok(None) } else { Err(nothing_yet(world)) }
}

/// A question answered with yes or no; an empty line is a yes.
fn yes(prompt: &str, world: &mut World<'_>) -> Result<bool, Ending> {
    loop {
        let Some(line) = world.ask(prompt)? else { return Err(nothing_yet(world)) };
        match line.to_lowercase().as_str() {
            "" | "y" | "yes" | "sí" | "si" => return Ok(true),
            "n" | "no" => return Ok(false),
            "q" | "quit" | "stop" => return Err(nothing_yet(world)),
            _ => world.say("  Type yes or no."),
        }
    }
}

/// Asks for the photo of a recheck before anything else, so that the photo shows the room as it is found.
fn photo_first(world: &mut World<'_>) -> Result<Vec<PathBuf>, Ending> {
    world
        .say(&format!("\n{}", bold("First the photo, from the child's seat at the child's eye height, as last time.")));
    let mut photos = Vec::new();
    loop {
        let prompt = if photos.is_empty() { "Its file (Enter: no photo) > " } else { "Another (Enter: no more) > " };
        let Some(line) = world.ask(prompt)? else { return Err(nothing_yet(world)) };
        match line.as_str() {
            "" => return Ok(photos),
            "q" | "quit" | "stop" => return Err(nothing_yet(world)),
            name => {
                // A file dragged into a terminal comes in quotation marks.
                let path = PathBuf::from(name.trim_matches(['\'', '"']));
                match files::open(&path) {
                    Ok(_) => photos.push(path),
                    Err(refusal) => world.say(&format!("  {}", refusal.message)),
                }
            }
        }
    }
}

/// What must stay, and then where, who and when.
fn about(
    arguments: &AuditArguments,
    case: Option<&Case>,
    list: &Checklist,
    recheck: Option<&Recheck>,
    world: &mut World<'_>,
) -> Result<Answers, Ending> {
    let earlier = recheck.map(|recheck| &recheck.answers);
    let known = match (earlier, case) {
        (Some(earlier), _) => earlier.keep.clone(),
        (None, Some(case)) => case.child().map_err(Refusal::from)?.keep,
        (None, None) => Vec::new(),
    };
    world.say(&format!("\n{}", bold("What must stay in reach?")));
    world.say(wrapped("", "The child's way of talking, picture schedule, comfort or fidget things, glasses, hearing aid, ear defenders. They are never counted and never moved. Name them with commas.").trim_end());
    let keep = line(&or_default("", &known.join(", "), if known.is_empty() { "nothing" } else { "" }), world)?;
    let keep = if keep.is_empty() { known } else { entries(&keep) };
    let place = match arguments.place.clone().or_else(|| earlier.map(|earlier| earlier.place.clone())) {
        Some(place) => place,
        None => some("Which place is it, such as window table? > ", "", world)?,
    };
    let role = if recheck.is_some() { "parent" } else { "visitor" };
    let by = some(&or_default("Who is looking (an alias or a role, never a full name)?", role, ""), role, world)?;
    let today = cases::day(world.now);
    let date = loop {
        let text = some(&or_default("Which day is it?", &today, ""), &today, world)?;
        match text.parse::<Date>() {
            Ok(date) if text.len() == 10 => break date,
            _ => world.say("  Write the day like 2026-10-05."),
        }
    };
    let nothing = Walk::new(list, keep, |_| false);
    let blank = Answers {
        checklist: list.id.clone(),
        place,
        date,
        by,
        keep: Vec::new(),
        answers: nothing.answers().clone(),
        reasons: nothing.reasons().clone(),
    };
    Ok(filled(&blank, &nothing))
}

/// A prompt with what an empty line means.
fn or_default(prompt: &str, default: &str, otherwise: &str) -> String {
    let default = if default.is_empty() { otherwise } else { default };
    format!("{prompt}{}(Enter: {default}) > ", if prompt.is_empty() { "" } else { " " })
}

/// A line, or the end of the walk.
fn line(prompt: &str, world: &mut World<'_>) -> Result<String, Ending> {
    match world.ask(prompt)? {
        Some(line) if !matches!(line.as_str(), "q" | "quit" | "stop") => {
            Ok(line.chars().filter(|sign| !sign.is_control()).collect())
        }
        _ => Err(nothing_yet(world)),
    }
}

/// A line that must not be empty, or its default.
fn some(prompt: &str, default: &str, world: &mut World<'_>) -> Result<String, Ending> {
    loop {
        let line = line(prompt, world)?;
        if !line.is_empty() {
            return Ok(line);
        }
        if !default.is_empty() {
            return Ok(default.to_owned());
        }
        world.say("  Type a word or two.");
    }
}

/// The entries of a line with commas, each once.
fn entries(line: &str) -> Vec<String> {
    let mut entries: Vec<String> = Vec::new();
    for entry in line.split(',').map(str::trim).filter(|entry| !entry.is_empty()) {
        if !entries.iter().any(|known| known == entry) {
            entries.push(entry.to_owned());
        }
    }
    entries
}
