use coaxle::search::*;
fn main() {
    let t = std::time::Instant::now();
    let b = match std::env::args().nth(1) {
        Some(p) => coaxle::brief::Brief::read(std::path::Path::new(&p)).unwrap(),
        None => coaxle::brief::Brief::embedded(),
    };
    let stop = std::sync::atomic::AtomicBool::new(false);
    let f = run(&b, &Controls { threads: None, stop: &stop, progress: &Quiet }).unwrap();
    for p in &f.passages {
        println!("{:30} {:>10} {:>10}  {}", p.test, p.entered, p.left, p.why);
    }
    println!(
        "{:?} cores {} layouts {} states {} undecided {} cat {:?} found {} front {}",
        f.stop, f.cores, f.layouts, f.states, f.undecided, f.catalogue, f.found, f.front
    );
    for x in &f.findings[..f.front] {
        println!(
            "{} {:?} {:?} spare {} twins {}",
            x.canonical,
            &x.scores[..3],
            x.ratios.iter().map(|r| r.to_string()).collect::<Vec<_>>(),
            x.spare_element,
            x.twins.len()
        );
    }
    println!("{:?}", t.elapsed());
}
