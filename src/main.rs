use coaxle::search::*;
fn main() {
    let t = std::time::Instant::now();
    let b = match std::env::args().nth(1) {
        Some(p) => coaxle::brief::Brief::read(std::path::Path::new(&p)).unwrap(),
        None => coaxle::brief::Brief::embedded(),
    };
    let stop = std::sync::atomic::AtomicBool::new(false);
    let f = coaxle::doors::search(&b, &Controls { threads: None, stop: &stop, progress: &Quiet })
        .unwrap();
    println!("{:?}", t.elapsed());
    coaxle::report::write_folder(
        &f,
        std::path::Path::new(&format!("/tmp/out/{}", b.name)),
        coaxle::report::Overwrite::OwnResults,
    )
    .unwrap();
    println!("{:?}", t.elapsed());
}
