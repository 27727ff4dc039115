use coaxle::search::*;
use std::time::Instant;
fn main() {
    let cores = CoreFamily::plain(4, 8).cores();
    let every: usize = std::env::args().nth(1).unwrap().parse().unwrap();
    let t = Instant::now();
    let st: Vec<_> = cores.iter().step_by(every).map(|c| CoreStates::new(c)).collect();
    println!("{} core states {:?}", st.len(), t.elapsed());
    // multiplicity
    let mut tot = [0u64; 8];
    let mut live = 0u64;
    for s in &st {
        let mut m = vec![0u64; s.functions.len() + 1];
        for a in 0..s.slots.len() {
            for b in a + 1..s.slots.len() {
                for c in b + 1..s.slots.len() {
                    m[s.function(&[a, b, c]) as usize] += 1;
                }
            }
        }
        m[0] = 0;
        live += m.iter().sum::<u64>();
        m.sort();
        m.reverse();
        for i in 0..8 {
            tot[i] += m.get(i).copied().unwrap_or(0);
        }
    }
    println!("live {} top mult {:?}", live / st.len() as u64, tot.map(|x| x / st.len() as u64));
    let t = Instant::now();
    let mut cnt = SiftCount::default();
    let mut k = 0u64;
    for s in &st {
        cnt.add(&sift(
            s,
            std::env::args().nth(2).unwrap().parse().unwrap(),
            std::env::args().nth(3).unwrap().parse().unwrap(),
            &vec![true; s.functions.len()],
            |_| k += 1,
        ));
    }
    println!("5 el 9 gears {:?} kept {} in {:?}", cnt, k, t.elapsed());
}
