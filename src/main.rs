use coaxle::search::*;
fn main() {
    let a: Vec<u8> = std::env::args().skip(1).map(|x| x.parse().unwrap()).collect();
    let t = std::time::Instant::now();
    let f = CoreFamily::plain(a[0], a[1]);
    let cores = f.cores();
    println!("{} cores {:?}", cores.len(), t.elapsed());
    println!("{:?} {:?}", census(f, &cores, &|_| ()), t.elapsed());
}
