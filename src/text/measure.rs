//! Texts and lengths: what a value says, and whether it is sane.

use super::unseen::unseen;
use super::{Finds, Item, Kind, Node, Said, TextError, wrong};
use crate::length::{Interval, Length, Ruler, Unit, parse_interval, parse_sides, written_unit};

/// What is sane for a length: no bag is wider than a table.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Limits {
    pub least: Length,
    pub most: Length,
}

impl Limits {
    /// More than zero, and at most this number of millimetres.
    pub const fn up_to_mm(most: i64) -> Limits {
        Limits {
            least: Length::from_nm(1),
            most: Length::from_nm(most * Length::MM.nm()),
        }
    }

    /// The same, but it may be nothing.
    pub const fn or_nothing(self) -> Limits {
        Limits {
            least: Length::ZERO,
            ..self
        }
    }

    /// The same number in the other unit, if that is sane; of several sides those alone that are too large.
    fn other(self, written: &str) -> Option<String> {
        let unit = written_unit(written)?;
        let other = match unit {
            Unit::Inch => Unit::Millimetre,
            _ => Unit::Inch,
        };
        let number = written
            .trim()
            .trim_end_matches(|c: char| !c.is_ascii_digit());
        let sides = |text: &str| match (parse_interval(text), parse_sides(text)) {
            (Ok(one), _) => Some(vec![one]),
            (_, Ok(it)) => {
                let all = [Some(it.width), it.gusset, Some(it.height)];
                Some(all.into_iter().flatten().collect())
            }
            _ => None,
        };
        let sane = |side: &Interval| side.least() >= self.least && side.most() <= self.most;
        let said = sides(written);
        let each = number.split(['x', '×']).zip(said.iter().flatten());
        let each = each.map(|(number, side)| {
            let unit = if sane(side) { unit } else { other };
            format!("{} {}", number.trim(), unit.name())
        });
        let each: Vec<String> = each.collect();
        let mut typed = [each.join(" x "), format!("{number} {}", other.name())];
        if !said.iter().flatten().any(sane) {
            // One unit behind the last says it of all.
            typed.reverse();
        }
        typed.into_iter().find(|typed| {
            let meant = sides(typed);
            meant != said && meant.is_some_and(|all| all.iter().all(sane))
        })
    }

    /// The most, in the unit of a maker who wrote this: rounded down to whole inches, hundredths where it
    /// is little, or millimetres.
    fn most_in(self, written: &str) -> String {
        let unit = written_unit(written).unwrap_or(Unit::Millimetre);
        let step = match unit {
            Unit::Inch if self.most.nm() >= 10 * Length::INCH.nm() => Length::INCH,
            Unit::Inch => Length::from_nm(Length::INCH.nm() / 100),
            _ => Length::MM,
        };
        let rounded = Length::from_nm(self.most.nm() / step.nm() * step.nm());
        let ruler = Ruler::new(step, unit);
        ruler.map_or_else(|| rounded.to_string(), |ruler| ruler.show(rounded))
    }
}

/// A text that is not empty and can be printed; nothing if it is no text at all.
pub(crate) fn legible(key: &str, item: &Item, faults: &Finds) -> Option<Said<String>> {
    let Node::Text(text) = &item.node else {
        return None;
    };
    let place = item.place;
    if text.trim().is_empty() {
        let key = key.to_owned();
        faults.tell(place, TextError::EmptyText { key });
        return None;
    }
    let said = Said {
        value: text.clone(),
        place,
    };
    let hidden = text
        .char_indices()
        .find_map(|(at, sign)| Some((at, sign, unseen(sign)?)));
    if let Some((at, sign, what)) = hidden {
        let place = said.part(at..at + sign.len_utf8());
        let sign = format!("U+{:04X}, {what}", u32::from(sign));
        let key = key.to_owned();
        faults.tell(place, TextError::Unseen { key, sign });
        return None;
    }
    Some(said)
}

/// A length with a sane value; `example` is what could stand there.
pub(crate) fn length_of(
    key: &str,
    item: &Item,
    example: &str,
    limits: Limits,
    faults: &Finds,
) -> Option<Said<Interval>> {
    match &item.node {
        Node::Text(_) => {}
        Node::Whole { written, .. } | Node::Decimal { written } => {
            faults.tell(
                item.place,
                TextError::BareNumber {
                    key: key.to_owned(),
                    written: written.clone(),
                },
            );
            return None;
        }
        _ => {
            let example = format!("{key} = {example}");
            wrong(key, item, Kind::Length, example, faults);
            return None;
        }
    }
    let text = legible(key, item, faults)?;
    match parse_interval(&text.value) {
        Ok(length) => within(key, &text, length, limits, faults).then(|| text.with(length)),
        Err(error) => {
            let place = text.part(error.range());
            faults.tell(place, TextError::Length { error });
            None
        }
    }
}

/// Tells that a length is not sane.
pub(crate) fn within(
    key: &str,
    text: &Said<String>,
    length: Interval,
    limits: Limits,
    faults: &Finds,
) -> bool {
    let (place, key) = (text.place, key.to_owned());
    if length.least() < limits.least {
        faults.tell(place, TextError::Zero { key });
        return false;
    }
    let wrong = over(&key, &text.value, length, limits);
    let sane = wrong.is_none();
    wrong
        .into_iter()
        .for_each(|wrong| faults.tell(place, wrong));
    sane
}

/// What is wrong with a length that is more than sane.
pub(crate) fn over(
    key: &str,
    written: &str,
    length: Interval,
    limits: Limits,
) -> Option<TextError> {
    (length.most() > limits.most).then(|| TextError::OutOfRange {
        key: key.to_owned(),
        written: format!("`{written}`"),
        limit: limits.most_in(written),
        over: true,
        other: limits.other(written),
    })
}
