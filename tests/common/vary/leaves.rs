//! Leaves, and what is tucked into them.

use super::{Bag, Maker};

impl Maker {
    /// The paper of a part, if it is named.
    fn any_paper(&mut self) -> Option<String> {
        (self.papers > 0).then(|| format!("paper {}", self.dice.between(0, self.papers as i64 - 1)))
    }

    pub fn leaf(&mut self, at: i64, number: usize, bag: &Bag, wanted: &mut Vec<(String, bool)>) {
        let name = ["shore", "dune", "harbour", "cover"][at as usize];
        self.line("\n[[leaf]]");
        self.say("name", name);
        self.say("bag", &format!("bag {number}"));
        let count = self.dice.between(1, 5);
        self.line(&format!("count = {count}"));
        if self.dice.chance(20) {
            self.line("turned = true");
        }
        let mut sizes = Vec::new();
        let mut band = false;
        for part in ["front_mat", "pocket_mat", "back_mat", "band"] {
            let lies = bag.pocket || !matches!(part, "pocket_mat" | "band");
            let paper = match self.dice.between(1, 10) {
                1..=2 => Some("none".to_owned()),
                3..=5 => self.any_paper(),
                6 => Some("any".to_owned()),
                _ => None,
            };
            if let Some(paper) = &paper {
                self.say(part, paper);
            }
            let here = paper.map_or(part != "band", |paper| paper != "none");
            if here && lies {
                band |= part == "band";
                wanted.push((part.to_owned(), false));
                if self.dice.chance(5) {
                    let width = self.share(bag.width, 60, 90);
                    sizes.push((format!("{part}.width"), self.text(width)));
                }
            }
        }
        self.sizes(&mut sizes, bag);
        let inserts = self.dice.between(0, 6);
        let mut names = ["photo_mat", "journal", "tag", "ticket", "letter", "menu"];
        self.dice.shuffle(&mut names);
        for name in names.iter().take(inserts as usize) {
            self.insert(name, (bag, band), wanted);
        }
    }

    /// Sizes that are given, or measured on what is already made.
    fn sizes(&mut self, of_parts: &mut Vec<(String, String)>, bag: &Bag) {
        let mut measured = Vec::new();
        if self.dice.chance(10) {
            let width = bag.width - self.grain;
            measured.push(("leaf.width".to_owned(), self.text(width)));
        }
        if bag.pocket && self.dice.chance(5) {
            let edge = self.share(bag.height, 25, 50);
            measured.push(("pocket.edge".to_owned(), self.text(edge)));
        }
        if self.dice.chance(50) {
            measured.append(of_parts);
        }
        for (key, sizes) in [("given", of_parts), ("measured", &mut measured)] {
            if !sizes.is_empty() {
                let says: Vec<String> = sizes
                    .iter()
                    .map(|(name, size)| format!("\"{name}\" = \"{size}\""))
                    .collect();
                self.line(&format!("{key} = {{ {} }}", says.join(", ")));
            }
        }
    }

    fn insert(&mut self, name: &str, (bag, band): (&Bag, bool), wanted: &mut Vec<(String, bool)>) {
        self.line("\n[[leaf.insert]]");
        self.say("name", name);
        let place = match self.dice.between(1, 10) {
            1..=5 => "mouth",
            6..=7 if bag.pocket => "pocket",
            8 if band => "band",
            9 => "back",
            _ => "mouth",
        };
        self.say("place", place);
        if place == "mouth" && bag.gusset > 0 && self.dice.chance(60) {
            let section = *self.dice.pick(&["front", "back"]);
            self.say("section", section);
        }
        let photo = self.dice.chance(55);
        let (low, high) = if place == "pocket" {
            (20, 45)
        } else {
            (40, 85)
        };
        match self.dice.between(1, 20) {
            1..=3 => {
                let width = self.share(bag.width, 30, 72);
                let height = self.share(bag.height, low, high);
                let play = self.play(20);
                self.size("size", width, height, &play);
            }
            4 => {
                let width = self.share(bag.width, 30, 72);
                self.say_length("width", width);
            }
            5..=6 => {
                let height = self.share(bag.height, low, high);
                self.say_length("height", height);
            }
            7 if self.cards > 0 => {
                let card = self.dice.between(0, self.cards as i64 - 1);
                self.say("card", &format!("card {card}"));
            }
            _ => {}
        }
        // A tag's string shows only where the album lets its head stand out.
        let string = self.dice.chance(5);
        if string && self.dice.chance(75) {
            let show = self.mm(16, 25);
            self.say_length("show", show);
        } else if self.dice.chance(25) {
            let show = self.mm(3, 20);
            self.say_length("show", show);
        }
        let grips = ["plain", "notch", "tab", "plain"];
        let grip = if string {
            "string"
        } else {
            *self.dice.pick(&grips)
        };
        if grip != "plain" || self.dice.chance(50) {
            self.say("grip", grip);
        }
        if self.dice.chance(30)
            && let Some(paper) = self.any_paper()
        {
            self.say("paper", &paper);
        }
        if self.dice.chance(20) {
            self.say("caliper", "0.35 mm");
        }
        if self.dice.chance(20) {
            let count = self.dice.between(2, 4);
            self.line(&format!("count = {count}"));
        }
        wanted.push((name.to_owned(), photo));
        if photo {
            self.photo();
        }
    }

    fn photo(&mut self) {
        let mut says = Vec::new();
        if self.dice.chance(40) {
            let shapes = ["2:3", "1:1", "3:4", "4:5", "5:7", "85.60:53.98", "16:9"];
            says.push(format!("shape = \"{}\"", self.dice.pick(&shapes)));
        }
        if self.prints > 0 && self.dice.chance(40) {
            let mut names: Vec<String> = (0..self.prints)
                .map(|at| format!("\"print {at}\""))
                .collect();
            self.dice.shuffle(&mut names);
            names.truncate(self.dice.between(1, 3) as usize);
            says.push(format!("print = [{}]", names.join(", ")));
        }
        if says.is_empty() {
            self.line("photo = true");
        } else {
            self.line(&format!("photo = {{ {} }}", says.join(", ")));
        }
    }

    /// What the maker wants most; only of things that the album has.
    pub fn prefer(&mut self, mut wanted: Vec<(String, bool)>) {
        self.dice.shuffle(&mut wanted);
        let mut says = Vec::new();
        let most = self.dice.between(0, 3) as usize;
        for (name, photo) in wanted.into_iter().take(most) {
            let said = match self.dice.between(1, 10) {
                1..=5 if photo => format!("largest {name}.photo"),
                6 => format!("large {name}.width"),
                7 => format!("large {name}.height"),
                8 => format!("small {name}.height"),
                _ => format!("largest {name}"),
            };
            if !says.contains(&said) {
                says.push(said);
            }
        }
        if self.dice.chance(20) {
            let wishes = [
                "a hole does not cut the pocket's edge",
                "a pull-out can be gripped",
                "a caption strip does not outgrow its photo mat",
                "a narrow pull-out stays in its slot",
            ];
            says.insert(0, format!("keep {}", self.dice.pick(&wishes)));
        }
        if !says.is_empty() {
            let said: Vec<String> = says.iter().map(|said| format!("\"{said}\"")).collect();
            self.line(&format!("prefer = [{}]", said.join(", ")));
        }
    }
}
