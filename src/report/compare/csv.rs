//! Every bag as a row of values with commas between them, in the order in which they were read.

use super::held::holders;
use super::{costs, stopped};
use crate::compare::{Answer, Offer, Photo};
use crate::length::{Interval, Length, Ruler};
use crate::plan::Certainty;

/// Headings, in order. Lengths are exact, as text with their unit.
pub const HEAD: &str = "file,line,name,width,gusset,height,verdict,photo_width,photo_height,print,\
                        print_turned,off_left,off_right,off_end,tolerance_width,tolerance_height,\
                        ring,leaves_on_ring,bags,packs,price,held_by,why_not\n";

/// One bag; `files` are the names of the files that bags were read from.
pub fn row(ruler: Ruler, files: &[String], offer: &Offer) -> String {
    let fit = offer.fit();
    let photo = fit.and_then(|fit| fit.photo.as_ref());
    let print = photo.and_then(|photo| photo.print.as_ref());
    let cost = photo
        .zip(fit.and_then(|fit| fit.nominal))
        .and_then(|(photo, nominal)| costs(photo, nominal));
    let show = |length: Length| ruler.show(length);
    let side = |side: fn(&Photo) -> Interval| photo.map(|p| ruler.show_interval(side(p)));
    let why = match &offer.answer {
        Answer::Fits(_) => None,
        answer => Some(stopped(ruler, answer)),
    };
    let line = (offer.at.line > 0).then(|| offer.at.line.to_string());
    let cells = [
        files.get(offer.at.file as usize).cloned(),
        line,
        Some(offer.bag.name.clone()),
        Some(ruler.show_interval(offer.bag.width)),
        offer.bag.gusset.map(|gusset| ruler.show_interval(gusset)),
        Some(ruler.show_interval(offer.bag.height)),
        Some(verdict(&offer.answer).to_owned()),
        side(|photo| photo.width),
        side(|photo| photo.height),
        print.map(|print| print.name.clone()),
        print.map(|print| if print.turned { "yes" } else { "no" }.to_owned()),
        print.map(|print| show(print.off_left)),
        print.map(|print| show(print.off_right)),
        print.map(|print| show(print.off_end)),
        cost.map(|(width, _)| show(width)),
        cost.map(|(_, height)| show(height)),
        fit.and_then(|fit| fit.ring.as_ref())
            .map(|ring| ring.name.clone()),
        fit.and_then(|fit| fit.leaves_on_ring())
            .map(|on| on.to_string()),
        Some(offer.cost.bags.to_string()),
        Some(offer.cost.packs.to_string()),
        offer.cost.price.map(|price| price.to_string()),
        photo.map(|photo| holders(photo).join("; ")),
        why,
    ];
    let cells: Vec<String> = cells
        .into_iter()
        .map(|c| quoted(c.unwrap_or_default()))
        .collect();
    format!("{}\n", cells.join(","))
}

/// What became of a bag.
pub fn verdict(answer: &Answer) -> &'static str {
    match answer {
        Answer::Fits(fit) if fit.certainty == Certainty::Best => "fits, proved best",
        Answer::Fits(_) => "fits, best found",
        Answer::Clash(_) | Answer::NotWorkable(_) => "does not fit",
        Answer::Undecided(_) | Answer::Defect(_) => "undecided",
    }
}

/// In quotes where it must be (RFC 4180, from memory). A value that a spreadsheet would take for a
/// formula begins with a space.
pub(super) fn quoted(cell: String) -> String {
    let formula = cell.starts_with(['=', '+', '-', '@']);
    let cell = if formula { format!(" {cell}") } else { cell };
    match cell.contains([',', '"', '\n', '\r']) {
        true => format!("\"{}\"", cell.replace('"', "\"\"")),
        false => cell,
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn values_are_quoted_where_they_must_be() {
        let quoted = |text: &str| quoted(text.to_owned());
        assert_eq!(quoted("plain 4 3/8 in"), "plain 4 3/8 in");
        assert_eq!(quoted("tall, \"brown\""), "\"tall, \"\"brown\"\"\"");
        assert_eq!(quoted("=1+1"), " =1+1");
    }
}
