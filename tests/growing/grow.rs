use crate::common;
use std::time::Instant;
use tuckwright::explain::grow::grow;
use tuckwright::solve::Limits;
use tuckwright::{Outcome, work};

#[test]
#[ignore]
fn timing() {
    let style = common::upright();
    for name in ["low-water", "hut-book"] {
        let album = demo(name);
        let t = Instant::now();
        let expanded = tuckwright::program::expand::expand(&style, &album).unwrap();
        println!(
            "{name} expand {:?} rows {}",
            t.elapsed(),
            expanded.program.rows.len()
        );
        let t = Instant::now();
        let worked = work(&style, &album, &Limits::default()).unwrap();
        println!("{name} work {:?}", t.elapsed());
        let Outcome::Fits(plan) = &worked.outcome else {
            panic!()
        };
        let mut all = Vec::new();
        for t in &plan.template {
            all.push((t.name.clone(), t.leaf.clone()));
        }
        for l in &plan.leaves {
            for i in &l.inserts {
                all.push((i.width.name.clone(), l.name.clone()));
                all.push((i.height.name.clone(), l.name.clone()));
                if let Some(p) = &i.photo {
                    all.push((p.width.name.clone(), l.name.clone()));
                    all.push((p.height.name.clone(), l.name.clone()));
                }
            }
            for i in &l.parts {
                all.push((i.width.name.clone(), l.name.clone()));
                all.push((i.height.name.clone(), l.name.clone()));
            }
        }
        for (size, leaf) in all {
            let t = Instant::now();
            let growth = grow(
                &style,
                &album,
                &worked,
                &size,
                Some(&leaf).filter(|l| !l.is_empty()).map(|s| s.as_str()),
                &Limits::default(),
            );
            match growth {
                Ok(g) => {
                    println!(
                        "{name} {leaf} {size} {:?} proved {} larger {}",
                        t.elapsed(),
                        g.proved,
                        g.larger
                    );
                    for o in g.offers {
                        println!(
                            "    {} [{}] {} {} by {} buys {} loses {:?} until {:?}",
                            o.measure,
                            o.leaf,
                            album.ruler.show_interval(o.from),
                            if o.more { "more" } else { "less" },
                            album.ruler.show(o.by),
                            album.ruler.show(o.buys),
                            o.loses.map(|l| album.ruler.show(l).to_string()),
                            o.until.map(|(a, b, r)| (
                                album.ruler.show(a).to_string(),
                                album.ruler.show(b).to_string(),
                                r.into_iter()
                                    .map(|r| match r {
                                        tuckwright::plan::Reason::Rule { name, .. } => name,
                                        o => format!("{o:?}"),
                                    })
                                    .collect::<Vec<_>>()
                            ))
                        );
                    }
                }
                Err(e) => println!("{name} {leaf} {size} {:?} {e}", t.elapsed()),
            }
        }
    }
}

pub fn demo(name: &str) -> tuckwright::album::Album {
    let mut files = tuckwright::text::Files::default();
    let root = concat!(env!("CARGO_MANIFEST_DIR"), "/models/");
    let words = std::fs::read_to_string(format!("{root}albums/{name}.toml")).unwrap();
    let file = files.add("album.toml", &words);
    let mut load = |path: &str| {
        std::fs::read(format!("{root}{}", path.trim_start_matches("../")))
            .map_err(|e| e.to_string())
    };
    tuckwright::album::text::read(&mut files, file, &mut load).unwrap()
}
