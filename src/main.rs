use coaxle::score::Progression;
use coaxle::search::*;
use coaxle::train::ElementMask;
use rayon::prelude::*;
use std::collections::BTreeMap;
use std::collections::HashMap;
fn main() {
    let a: Vec<u8> = std::env::args().skip(1).map(|x| x.parse().unwrap()).collect();
    let t = std::time::Instant::now();
    let f = CoreFamily { sets: a[0], shafts: a[1], held: false, bare_input: a[2] == 1 };
    let ne = a[3] as usize;
    let fw = a[4] as usize;
    let single = a[5] == 1;
    let g = fw + 1;
    let cores = f.cores();
    let k = f.shafts as usize - f.sets as usize - 1;
    let comb = states_of(ne, k);
    let named: Vec<(SiftCount, Vec<(ClassKeys, TwinMember)>)> = cores
        .par_iter()
        .enumerate()
        .map(|(i, c)| {
            let st = CoreStates::new(c);
            let mut kept = vec![];
            let cnt = sift(&st, ne, g, |ch| kept.push(ch.to_vec()));
            let mut out = vec![];
            if !kept.is_empty() {
                let nm = Namer::new(&st, &comb);
                for ch in kept {
                    out.push(nm.name(i as u32, &ch));
                }
            }
            (cnt, out)
        })
        .collect();
    println!("sift+name {:?}", t.elapsed());
    let mut classes: BTreeMap<ClassKeys, Vec<TwinMember>> = BTreeMap::new();
    let mut surv = 0;
    for (_, o) in named {
        for (k, m) in o {
            surv += 1;
            classes.entry(k).or_default().push(m);
        }
    }
    println!("survivors {surv} classes {} {:?}", classes.len(), t.elapsed());
    // functions
    let mut keys: Vec<u64> = classes.keys().flatten().copied().filter(|&k| k != 0).collect();
    keys.sort();
    keys.dedup();
    let idx: HashMap<u64, u32> = keys.iter().enumerate().map(|(i, &k)| (k, i as u32)).collect();
    let funcs: Vec<RatioFunction> = keys
        .iter()
        .map(|&k| RatioFunction {
            numerator: Signs { plus: (k >> 48) as u16, minus: (k >> 32) as u16 },
            denominator: Signs { plus: (k >> 16) as u16, minus: k as u16 },
        })
        .collect();
    let (step, spread) = if single { ((1.1, 1.8), (5.5, 1e9)) } else { ((1.25, 1.95), (3.6, 1e9)) };
    let ladder = Ladder {
        windows: {
            let mut w = vec![(0.35, 8.0); fw];
            w[0] = (1.2, 8.0);
            w[fw - 1] = (0.35, 1.6);
            w
        },
        step,
        spread,
        reverse: vec![(0.8, 8.0)],
        shifts: if single { Shifts::SingleSwap } else { Shifts::Any },
        progression: Progression::Geometric,
    };
    let mut ratios = vec![];
    for s in 18..=60u32 {
        for r in 48..=110u32 {
            if (r - s.min(r)) % 2 == 0 && r > s && (r - s) / 2 >= 16 && (r + s) % 3 == 0 {
                let x = r as f64 / s as f64;
                if x >= 1.4 && x <= 4.5 {
                    ratios.push(x);
                }
            }
        }
    }
    ratios.sort_by(f64::total_cmp);
    ratios.dedup();
    println!("funcs {} ratios {}", funcs.len(), ratios.len());
    let bank = Bank::new(
        CellGrid::new(&ratios, f.sets as usize),
        &funcs,
        |b| ladder.may_be_forward(b),
        |b| ladder.may_be_reverse(b),
    );
    println!("bank {:?}", t.elapsed());
    let masks: Vec<ElementMask> = comb.iter().map(|c| ElementMask::of(c.iter().copied())).collect();
    let near = ladder.neighbours(&masks);
    let cl: Vec<_> = classes.into_iter().collect();
    let outs: Vec<Outcome> = cl
        .par_iter()
        .map(|(k, _)| {
            let p = Problem {
                bank: &bank,
                ladder: &ladder,
                functions: k.iter().map(|k| idx.get(k).copied()).collect(),
                neighbours: near.clone(),
                states: &masks,
            };
            p.solve()
        })
        .collect();
    println!("solved {:?}", t.elapsed());
    let mut c = [0usize; 5];
    let mut members = 0;
    let mut sols = 0;
    let mut pts: Vec<(f64, f64)> = vec![];
    for (o, (_, m)) in outs.iter().zip(&cl) {
        match o {
            Outcome::TooFew => c[0] += 1,
            Outcome::NoLadder => c[1] += 1,
            Outcome::NoTeeth => c[2] += 1,
            Outcome::Undecided => c[3] += 1,
            Outcome::Solved(s) => {
                c[4] += 1;
                members += m.len();
                sols += s.len();
                for x in s {
                    pts.push((x.chain.deviation, x.chain.log_spread.exp()));
                }
            }
        }
    }
    println!(
        "toofew {} noladder {} noteeth {} undecided {} solved {} members {members} sols {sols}",
        c[0], c[1], c[2], c[3], c[4]
    );
    pts.sort_by(|a, b| a.partial_cmp(b).unwrap());
    let mut w = 0.0;
    for p in pts {
        if p.1 > w {
            w = p.1;
            println!("dev {:.4} spread {:.3}", p.0, p.1);
        }
    }
}
