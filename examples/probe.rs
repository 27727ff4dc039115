use coaxle::brief::Brief;
use coaxle::search::*;
use std::sync::atomic::AtomicBool;
use std::time::Instant;
fn main() {
    let a: Vec<String> = std::env::args().collect();
    let brief = Brief::read(std::path::Path::new(&a[1])).unwrap();
    let (from, to): (usize, usize) = (a[2].parse().unwrap(), a[3].parse().unwrap());
    let stop = AtomicBool::new(false);
    let c = Controls { threads: None, stop: &stop, progress: &Quiet };
    let t = Instant::now();
    let f =
        run_course(&brief, &c, Course { units: Some(from..to), ledger: &mut NoLedger }).unwrap();
    for p in &f.passages {
        println!("{:30} {:>14} {:>14}", p.test, p.entered, p.left);
    }
    println!("solved {:?} undecided {} {:?}", f.solved, f.undecided, t.elapsed());
}
