//! Albums varied widely, from a number: the same number makes the same text, on every machine.
//!
//! Bags from 60 to 400 mm, inch and metric rulers, tolerances, several leaves, one to six inserts in
//! every place, prints and rings to choose from, shapes, eyelets, patterns, papers with sheets, given
//! and measured sizes. Many fit, some do not. Nothing here is a real product.

mod leaves;

use super::dice::Dice;
use std::fmt::Write as _;

/// Nanometres.
const MM: i64 = 1_000_000;
const SIXTY_FOURTH: i64 = 396_875;

struct Maker {
    dice: Dice,
    out: String,
    inch: bool,
    /// What measures are read to (nm).
    grain: i64,
    prints: usize,
    cards: usize,
    papers: usize,
    rings: usize,
    punch: bool,
}

struct Bag {
    width: i64,
    height: i64,
    gusset: i64,
    pocket: bool,
}

/// The text of an album.
pub fn album(seed: u64) -> String {
    let mut dice = Dice::new(seed);
    let inch = dice.chance(55);
    let (ruler, grain) = if inch {
        let ruler = *dice.pick(&["1/16 in", "1/8 in", "1/16 in", "1/32 in"]);
        (ruler, SIXTY_FOURTH * dice.pick(&[4, 8, 4, 1]))
    } else {
        let ruler = *dice.pick(&["1 mm", "0.5 mm", "1 mm"]);
        (ruler, MM / dice.pick(&[1, 2, 10]))
    };
    let mut maker = Maker {
        dice,
        out: String::new(),
        inch,
        grain,
        prints: 0,
        cards: 0,
        papers: 0,
        rings: 0,
        punch: false,
    };
    maker.all(seed, ruler);
    maker.out
}

/// `4 3/8 in` where it is a whole number of 1/64 in and inches are wanted, else millimetres.
fn length(nm: i64, inch: bool) -> String {
    if inch && nm % SIXTY_FOURTH == 0 {
        let (mut over, mut under) = (nm / SIXTY_FOURTH, 64);
        while over % 2 == 0 && under > 1 {
            (over, under) = (over / 2, under / 2);
        }
        return match (over / under, over % under) {
            (whole, 0) => format!("{whole} in"),
            (0, part) => format!("{part}/{under} in"),
            (whole, part) => format!("{whole} {part}/{under} in"),
        };
    }
    let decimals = format!("{:06}", nm % MM);
    match decimals.trim_end_matches('0') {
        "" => format!("{} mm", nm / MM),
        decimals => format!("{}.{decimals} mm", nm / MM),
    }
}

impl Maker {
    fn line(&mut self, text: &str) {
        self.out.push_str(text);
        self.out.push('\n');
    }

    fn say(&mut self, key: &str, value: &str) {
        // Writing to a string cannot fail.
        let _ = writeln!(self.out, "{key} = \"{value}\"");
    }

    fn text(&self, nm: i64) -> String {
        length(nm, self.inch)
    }

    fn say_length(&mut self, key: &str, nm: i64) {
        let text = self.text(nm);
        self.say(key, &text);
    }

    /// Millimetres between two, on what measures are read to (nm).
    fn mm(&mut self, least: i64, most: i64) -> i64 {
        let grain = self.grain;
        let (low, high) = (least * MM / grain + 1, most * MM / grain);
        self.dice.between(low.min(high), high) * grain
    }

    /// Of some thing (nm), so many hundredths, on what measures are read to.
    fn share(&mut self, of: i64, least: i64, most: i64) -> i64 {
        let hundredths = self.dice.between(least, most);
        (of / 100 * hundredths / self.grain).max(1) * self.grain
    }

    /// ` ± 1/16 in`, or nothing.
    fn play(&mut self, percent: i64) -> String {
        if !self.dice.chance(percent) {
            return String::new();
        }
        let choices = if self.inch {
            [SIXTY_FOURTH, 2 * SIXTY_FOURTH, 4 * SIXTY_FOURTH]
        } else {
            [MM / 2, MM, 3 * MM / 2]
        };
        let play = *self.dice.pick(&choices);
        format!(" ± {}", self.text(play))
    }

    fn size(&mut self, key: &str, width: i64, height: i64, play: &str) {
        let text = format!("{} x {}{play}", self.text(width), self.text(height));
        self.say(key, &text);
    }

    /// The numbers of things are drawn first, so that the album's own lines can name them.
    fn all(&mut self, seed: u64, ruler: &str) {
        self.prints = self.dice.between(0, 4) as usize;
        self.cards = self.dice.between(0, 2) as usize;
        self.papers = self.dice.between(0, 3) as usize;
        self.rings = self.dice.between(0, 4) as usize;
        self.punch = self.dice.chance(25);
        self.say("album", &format!("varied {seed}"));
        self.say("ruler", ruler);
        let top = std::mem::take(&mut self.out);

        let bags = self.dice.between(1, 3);
        let bags: Vec<Bag> = (0..bags).map(|at| self.bag(at)).collect();
        self.supplies();
        let supplies = std::mem::take(&mut self.out);

        self.template(&bags);
        if self.dice.chance(35) {
            self.set();
        }
        let mut wanted = Vec::new();
        let leaves = *self.dice.pick(&[1, 1, 1, 2, 2, 3, 4]);
        for at in 0..leaves {
            let bag = self.dice.between(0, bags.len() as i64 - 1) as usize;
            self.leaf(at, bag, &bags[bag], &mut wanted);
        }
        let leaves = std::mem::take(&mut self.out);
        self.prefer(wanted);
        let prefer = std::mem::take(&mut self.out);
        self.out = top + &prefer + &leaves + &supplies;
    }

    fn bag(&mut self, at: i64) -> Bag {
        let width = self.mm(60, 300);
        let height = self
            .share(width, 85, 210)
            .min(400 * MM / self.grain * self.grain);
        self.line("\n[[bag]]");
        self.say("name", &format!("bag {at}"));
        let play = self.play(35);
        self.size("size", width, height, &play);
        let kind = self.dice.between(1, 10);
        let (mut gusset, mut leaf, mut pocket) = (0, height, false);
        match kind {
            1..=5 => {
                gusset = self
                    .share(width, 25, 60)
                    .min(height / 2 / self.grain * self.grain);
                let play = self.play(15);
                let text = self.text(gusset) + &play;
                self.say("gusset", &text);
                pocket = true;
            }
            6 => self.say("bottom", "pinch"),
            7 => {
                leaf = self.share(height, 45, 75);
                self.say_length("folded", leaf);
                pocket = true;
            }
            _ => pocket = self.dice.chance(70),
        }
        if pocket && (gusset == 0 || self.dice.chance(30)) {
            let edge = match kind {
                7 => self.share(height - leaf, 60, 100).min(leaf),
                _ => self.share(leaf, 20, 55),
            };
            let mut text = format!("pocket = {{ edge = \"{}\"", self.text(edge));
            if self.dice.chance(50) {
                let depth = self.share(edge, 50, 100).min(edge);
                let _ = write!(text, ", depth = \"{}\"", self.text(depth));
            }
            self.line(&(text + " }"));
        }
        if gusset > 0 && self.dice.chance(20) {
            let depth = self.share(leaf, 60, 95);
            self.say_length("front_depth", depth);
        }
        if self.dice.chance(20) {
            let depth = self.share(leaf, 70, 98);
            self.say_length("back_depth", depth);
        }
        if self.dice.chance(40) {
            let caliper = self.dice.between(60, 160);
            self.say("caliper", &format!("0.{caliper:03} mm"));
        }
        if self.dice.chance(15) {
            let squeezed = self.dice.between(50, 150);
            self.say(
                "squeezed",
                &format!("{}.{:02} mm", squeezed / 100, squeezed % 100),
            );
        }
        Bag {
            width,
            height: leaf,
            gusset,
            pocket,
        }
    }

    fn supplies(&mut self) {
        for at in 0..self.papers {
            self.line("\n[[paper]]");
            self.say("name", &format!("paper {at}"));
            let sheets: &[&str] = if self.inch {
                &["12 x 12 in", "8 1/2 x 11 in", "12 x 12 in", "6 x 8 in"]
            } else {
                &[
                    "210 x 297 mm",
                    "305 x 305 mm",
                    "297 x 420 mm",
                    "150 x 200 mm",
                ]
            };
            let sheet = *self.dice.pick(sheets);
            self.say("size", sheet);
            if self.dice.chance(40) {
                self.line("directed = true");
            }
            if self.dice.chance(50) {
                let caliper = self.dice.between(90, 300);
                self.say("caliper", &format!("0.{caliper:03} mm"));
            }
        }
        let sizes: &[&str] = if self.inch {
            &[
                "4 x 6 in",
                "5 x 7 in",
                "3 1/2 x 5 in",
                "4 x 4 in",
                "2 x 3 in",
                "6 x 8 in",
            ]
        } else {
            &[
                "100 x 150 mm",
                "130 x 180 mm",
                "90 x 130 mm",
                "100 x 100 mm",
                "54 x 86 mm",
            ]
        };
        let mut sizes = sizes.to_vec();
        for (kind, count) in [("print", self.prints), ("card", self.cards)] {
            self.dice.shuffle(&mut sizes);
            for (at, size) in sizes.iter().take(count).enumerate() {
                self.line(&format!("\n[[{kind}]]"));
                self.say("name", &format!("{kind} {at}"));
                let play = self.play(15);
                self.say("size", &format!("{size}{play}"));
            }
        }
        for at in 0..self.rings {
            self.line("\n[[ring]]");
            self.say("name", &format!("ring {at}"));
            let inside = self.dice.between(15, 65);
            self.say("inside", &format!("{inside} mm"));
            if self.dice.chance(70) {
                let wire = self.dice.between(15, 40);
                self.say("wire", &format!("{}.{} mm", wire / 10, wire % 10));
            }
        }
        if self.punch {
            self.line("\n[[punch]]\nname = \"punch\"");
            if self.dice.chance(60) {
                let reach = self.mm(8, 30);
                self.say_length("reach", reach);
            }
            if self.dice.chance(50) {
                self.say("takes", "2.5 mm");
            }
            if self.dice.chance(30) {
                self.say("diameter", "5.5 mm");
            }
        }
    }

    fn template(&mut self, bags: &[Bag]) {
        let lowest = bags.iter().map(|bag| bag.height).min().unwrap_or(MM);
        self.line("\n[template]");
        if self.punch {
            self.say("punch", "punch");
        }
        if self.rings > 0 && self.dice.chance(30) {
            let ring = self.dice.between(0, self.rings as i64 - 1);
            self.say("ring", &format!("ring {ring}"));
        }
        if self.dice.chance(20) {
            self.say("eyelet", "9.5 mm");
        }
        if self.dice.chance(15) {
            let patterns = [
                "ISO 838",
                "US three-hole",
                "seven-ring half letter",
                "six-ring personal",
            ];
            let pattern = *self.dice.pick(&patterns);
            self.say("pattern", pattern);
            return;
        }
        if self.dice.chance(50) {
            let holes = *self.dice.pick(&[1, 2, 2, 3, 3, 4, 5]);
            self.line(&format!("holes = {holes}"));
        }
        if self.dice.chance(25) {
            let play = if self.dice.chance(25) {
                " ± 0.2 mm"
            } else {
                ""
            };
            self.say("diameter", &format!("5.5 mm{play}"));
        }
        if self.dice.chance(20) {
            let edge = self.mm(7, 14);
            self.say_length("edge", edge);
        }
        if self.dice.chance(12) {
            let first = self.share(lowest, 12, 22);
            self.say_length("first", first);
        }
        if self.dice.chance(12) {
            let pitch = self.share(lowest, 15, 33);
            self.say_length("pitch", pitch);
        }
    }

    fn set(&mut self) {
        self.line("\n[set]");
        let choices: [(&str, &[&str]); 9] = [
            ("side_reveal", &["3 mm", "1/8 in", "2 mm"]),
            ("border", &["1/4 in", "5 mm", "2 mm"]),
            ("caption_strip", &["1 3/8 in", "25 mm", "1/2 in"]),
            ("ease", &["1/16 in", "2 mm", "1/8 in ± 1/32 in"]),
            ("tuck_under", &["15 mm", "1/4 in"]),
            ("inside_share", &["2/3", "1/3"]),
            ("end_share", &["1/8", "1/7"]),
            ("ring_fill", &["50 %", "80 %"]),
            ("hole_clear", &["1/4 in", "2 mm", "4.5 mm"]),
        ];
        for (name, values) in choices {
            if self.dice.chance(25) {
                let value = *self.dice.pick(values);
                self.say(name, value);
            }
        }
    }
}
