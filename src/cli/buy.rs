//! `buy`: what to buy for albums, at the least money; what is there afterwards.

use super::folder::{self, Named};
use super::together::{self, Copies, Together};
use super::typed::Typed;
use super::wait::patiently;
use super::{CLASH, DONE, Input, Reply, Sink, Source, Stop, output};
use crate::arrange::pads;
use crate::cut::pieces::Made;
use crate::cut::work::{Patience, WorkError};
use crate::cut::{Stages, Trimmer, offcuts};
use crate::length::Ruler;
use crate::plan::Plan;
use crate::report::arrange::pads as designs;
use crate::report::buy::{Shopping, not_enough};
use crate::report::handout::{Block, Section, steps};
use crate::shop;
use crate::shop::buy::{BuyError, How, Purchase, buy as cheapest};
use crate::shop::left::Afterwards;
use crate::shop::needs::{Needs, needs};
use crate::shop::short::Short;
use crate::solve::Limits;
use crate::supplies::Supplies;
use crate::text::Files;
use clap::Args;
use std::path::{Path, PathBuf};

#[derive(Debug, Args)]
pub(super) struct Buy {
    #[command(flatten)]
    source: Source,
    #[command(flatten)]
    copies: Copies,
    /// What is left over afterwards, as a file of supplies for the next album
    #[arg(long, value_name = "FILE")]
    left: Option<PathBuf>,
    /// The file of supplies as it is afterwards: with what you bought, less what you used; a folder if your
    /// supplies stand in several files
    #[arg(long = "use", value_name = "FILE")]
    used: Option<PathBuf>,
    #[command(flatten)]
    reply: Reply,
}

pub(super) fn buy(verb: &Buy) -> Result<u8, Stop> {
    let limits = &verb.reply.time.begin();
    let together = together::read(Typed::default(), "buy", &verb.source, &verb.copies)?;
    let albums = together.joined()?;
    let ruler = together.ruler()?;
    let nothing = Supplies::default();
    let supplies = albums.first().map_or(&nothing, |album| &album.supplies);
    let several = match &verb.used {
        Some(path) => several(&together, supplies, path, verb.reply.target.force)?,
        None => false,
    };
    verb.may_write(several)?;
    let worked = together.work(limits, (verb.reply.json, &verb.reply.target))?;
    let made = together.made(&albums, &worked);
    let pads = pads::pads(&made, &|| limits.is_over());
    let order = pads::order(&made, Vec::new(), Trimmer::default(), &pads);
    let designs = &designs::notes(&made, &pads)[..];
    let needs = needs(&made, order);
    let any = (needs.any_ring, needs.any_print);
    let found = bought(
        &together.files,
        (supplies, needs),
        (None, ruler),
        (limits, verb.reply.time.seconds),
    );
    let purchase = match found? {
        Ok(purchase) => purchase,
        Err(short) => {
            let said = not_enough(&short, together.copies());
            Sink::new(&verb.reply.target).write(&said)?;
            return Ok(CLASH);
        }
    };
    let title = &together.title();
    let offcuts = &offcuts::left(&purchase.order, &purchase.batches, ruler)[..];
    let purchase = &purchase;
    let after = Afterwards {
        supplies,
        purchase,
        offcuts,
        ruler,
    };
    let shopping = Shopping {
        title,
        supplies,
        purchase,
        any_ring: any.0,
        any_print: any.1,
        ring: together.ring(&albums, &worked, limits),
        ruler,
    };
    let at_hand = steps::all_needs(made.iter().map(|made| made.plan));
    let answer = match verb.reply.json {
        true => shopping.json(DONE, &at_hand),
        false => {
            let needs = Section::new(
                "Needed besides for each album (tools can be shared)",
                vec![Block::dashes(at_hand)],
            );
            let mut more = vec![needs, designs::section(designs)];
            more.retain(|section| !section.is_empty());
            shopping.text(&more)
        }
    };
    verb.write(&after, several, title, &together.files)?;
    Sink::new(&verb.reply.target).write(&answer)?;
    Ok(DONE)
}

impl Buy {
    /// Whether all files may be written that were asked for.
    fn may_write(&self, several: bool) -> Result<(), Stop> {
        let used = self.used.as_ref().filter(|_| !several);
        let targets = || {
            self.left
                .iter()
                .chain(used)
                .chain(&self.reply.target.output)
        };
        output::apart(targets().map(PathBuf::as_path))?;
        targets().try_for_each(|path| output::free(path, self.reply.target.force).map(|_| ()))
    }

    /// Writes the files that tell what is there afterwards.
    fn write(
        &self,
        after: &Afterwards<'_>,
        several: bool,
        title: &str,
        files: &Files,
    ) -> Result<(), Stop> {
        let force = self.reply.target.force;
        if let Some(path) = &self.left {
            put(path, after.left_over(title, files), force)?;
        }
        let Some(path) = &self.used else {
            return Ok(());
        };
        let used = after.taken_off(files);
        match several {
            true => folder::fill(path, &named(&used), force, None),
            false => put(path, used.into_iter().next().map(|(_, text)| text), force),
        }
    }
}

fn put(path: &Path, text: Option<String>, force: bool) -> Result<(), Stop> {
    match text {
        Some(text) => output::whole(path, text.as_bytes(), force),
        None => {
            let path = path.display();
            output::to_stderr(&format!(
                "{path}: not written, for there is nothing to put in it\n"
            ));
            Ok(())
        }
    }
}

/// The purchase; or what is too few with all packs that are for sale.
pub(super) fn bought(
    files: &Files,
    (supplies, needs): (&Supplies, Needs),
    (stages, ruler): (Option<Stages>, Ruler),
    (limits, seconds): (&Limits, Option<u64>),
) -> Result<Result<Purchase, Vec<Short>>, Stop> {
    // Half of the time is for the packs, the rest for the plan of their sheets.
    let first = Limits::lasting(limits.left() / 2);
    let mut none = None;
    let found = patiently(limits, seconds, files, |patience| {
        let how = How {
            stages,
            ruler,
            patience,
        };
        match cheapest(supplies, needs, how, &first) {
            Ok(purchase) => Ok(Some(purchase)),
            Err(BuyError::Cut(why)) => Err(why),
            Err(why) => {
                none = Some(why);
                Ok::<_, WorkError>(None)
            }
        }
    })?;
    match none {
        None | Some(BuyError::Cut(_)) => Ok(found.ok_or_else(Vec::new)),
        Some(BuyError::NotEnough(short)) => Ok(Err(short)),
        Some(BuyError::Undecided) => Err(Stop::Undecided(
            "the time was up before any choice of packs was found. Give it more with `--time 600`".to_owned(),
        )),
        Some(BuyError::TooLarge) => Err(Stop::Undecided(
            "these numbers are too large to be added exactly. Look for a slip in a count or a price".to_owned(),
        )),
    }
}

/// What one album needs more of than is at hand.
pub(super) fn short(input: &Input, plan: &Plan, limits: &Limits) -> Vec<Short> {
    let album = input.album.by_design();
    let made = Made::once(plan, &album);
    let pads = pads::pads(&[made], &|| limits.is_over());
    let order = pads::order(&[made], Vec::new(), Trimmer::default(), &pads);
    let patience = Patience::lasting(limits.left(), None);
    shop::short::short(made, order, album.ruler, &patience)
}

/// Whether the supplies stand in several files: then a copy of each goes into a folder.
fn several(
    together: &Together,
    supplies: &Supplies,
    path: &Path,
    force: bool,
) -> Result<bool, Stop> {
    let texts = Afterwards::texts(supplies, &together.files);
    if texts.len() < 2 {
        return Ok(false);
    }
    let names: Vec<String> = texts.iter().map(|(name, _)| (*name).to_owned()).collect();
    if path.extension().is_some() || path.is_file() {
        return Err(Stop::Told(format!(
            "these supplies stand in {} files: {}. Type a folder, such as `--use after`: it gets a copy of each as it is afterwards",
            names.len(),
            names.join(", ")
        )));
    }
    let files: Vec<(String, String)> = names.into_iter().map(|it| (it, String::new())).collect();
    let files = named(&files);
    folder::room_for(path, &files, force)?;
    let mut once: Vec<&String> = files.iter().map(|(name, _)| name).collect();
    once.sort_unstable();
    once.dedup();
    match once.len() == files.len() {
        true => Ok(true),
        false => Err(Stop::Told(
            "two of these files of supplies have the same name, so they have no room in one folder. Give one another name".to_owned(),
        )),
    }
}

/// Files for a folder, without the folders in which they stood.
fn named(files: &[(String, String)]) -> Vec<Named> {
    let each = files.iter().map(|(path, text)| {
        let name = Path::new(path)
            .file_name()
            .map(|it| it.to_string_lossy().into_owned());
        (
            name.unwrap_or_else(|| path.clone()),
            text.clone().into_bytes(),
        )
    });
    each.collect()
}
