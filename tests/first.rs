use tuckwright::*;
#[test]
fn first() {
    let mut files = text::Files::default();
    let file = files.add("upright", style::shipped::shipped("upright").unwrap());
    let style = match style::text::read(&files, file) {
        Ok(s) => s,
        Err(f) => panic!("{}", text::render(&files, &f, text::Look::Plain)),
    };
    for (bag, gusset, pocket, print) in [("4 3/8 x 5 3/4 in", None, Some("2 7/8 in"), Some("4 x 6 in")), ("5 1/8 x 10 5/8 in", Some("3 1/8 in"), None, None), ("1 x 2 in", None, None, None)] {
    let (w, h) = length::parse_size(bag).unwrap();
    let i = |t: &str| length::parse_interval(t).unwrap();
    let album = album::quick::album(album::quick::Quick {
        ruler: length::Ruler::parse("1/8 in").unwrap(),
        width: w, height: h, gusset: gusset.map(i), pocket: pocket.map(i), pocket_depth: None, hole: None, edge: None,
        photo_shape: None, print: print.map(|p| { let (a,b) = length::parse_size(p).unwrap(); (p.to_string(), a, b) }), set: vec![],
    });
    let t = std::time::Instant::now();
    let worked = work(&style, &album, &solve::Limits::default());
    println!("{:?}", t.elapsed());
    match worked {
        Err(e) => for e in e { println!("ERR {e}") },
        Ok(w) => match w.outcome {
            Outcome::Fits(p) => {
                for l in &p.leaves { for q in &l.parts { for s in [&q.width, &q.height] { println!("{} {:?}", s.name, s.value); println!("   {:?}", s.held_by); } println!("under {:?}", q.runs_under); }
                  for i in &l.inserts { println!("{:#?}", i) } }
                println!("{:#?}", p.holes);
                for t in &p.template { println!("{t:?}") }
                for r in &p.rules { if !r.kept || r.steps_left == Some(0) { println!("{} {} kept {} {:?} {}", r.name, r.of, r.kept, r.steps_left, r.because) } }
                println!("{:#?}", p.assumed);
                println!("{:?}", w.solution.stats);
            }
            o => println!("{o:#?}"),
        }
    }
    }
}
