//! Both problems word by word, in doubles, and searched by loops alone: the slow way that
//! the bounds are held against. Shares nothing with them but the sides.

use std::f64::consts::PI;

use super::areas::Area;

/// Sandgren's squared error.
pub fn squared_error([a, b, c, d]: [i64; 4]) -> f64 {
    let error = 1.0 / 6.931 - (a * b) as f64 / (c * d) as f64;
    error * error
}

/// The least squared error in the area, and the first point that has it.
pub fn gear_train(area: &Area<4>) -> (f64, [i64; 4]) {
    let mut best = (f64::INFINITY, [0; 4]);
    let [a, b, c, d] = area.map(|side| side.low..=side.high);
    for a in a {
        for b in b.clone() {
            for c in c.clone() {
                for d in d.clone() {
                    let error = squared_error([a, b, c, d]);
                    if error < best.0 {
                        best = (error, [a, b, c, d]);
                    }
                }
            }
        }
    }
    best
}

/// The largest distance of the three ratios from 3.11, 1.84 and -3.11.
pub fn farthest_ratio(n1: i64, n2: i64, n3: i64, n4: i64, n6: i64) -> f64 {
    let [n1, n2, n3, n4, n6] = [n1, n2, n3, n4, n6].map(|teeth| teeth as f64);
    let i1 = n6 / n4;
    let i2 = n6 * (n1 * n3 + n2 * n4) / (n1 * n3 * (n6 - n4));
    let reverse = -n2 * n6 / (n1 * n3);
    (i1 - 3.11).abs().max((i2 - 1.84).abs()).max((reverse + 3.11).abs())
}

/// Largest outer diameter, and least clearance in modules between planets.
const D: f64 = 220.0;
const DELTA: f64 = 0.5;

/// Whether the modules, in quarters, suit the teeth: diameters and centre distances.
fn modules_suit([n1, n2, n3, n4, n5, n6]: [i64; 6], m1: i64, m2: i64) -> bool {
    let [n1, n2, n3, n4, n5, n6] = [n1, n2, n3, n4, n5, n6].map(|teeth| teeth as f64);
    let (m1, m2) = (m1 as f64 / 4.0, m2 as f64 / 4.0);
    m2 * (n6 + 2.5) <= D
        && m1 * (n1 + 2.0 * n2 + 2.0) <= D
        && m2 * (n4 + 2.0 * n5 + 2.0) <= D
        && (m1 * (n1 + n2) - m2 * (n6 - n3)).abs() <= m1 + m2
}

/// Whether `p` planets of each kind can be assembled and have room.
fn planets_suit([n1, n2, n3, n4, n5, n6]: [i64; 6], p: i64) -> bool {
    let divides = (n6 - n4) % p == 0;
    let [n1, n2, n3, n4, n5, n6] = [n1, n2, n3, n4, n5, n6].map(|teeth| teeth as f64);
    let sine = (PI / p as f64).sin();
    divides
        && (n1 + n2) * sine >= n2 + 2.0 + DELTA
        && (n6 - n3) * sine >= n3 + 2.0 + DELTA
        && (n4 + n5) * sine >= n5 + 2.0 + DELTA
        && n6 - 2.0 * n3 - n4 >= 4.0 + 2.0 * DELTA
        && n6 - n4 - 2.0 * n5 >= 4.0 + 2.0 * DELTA
        && kinds_suit(n3, n4, n5, n6, p)
}

/// The condition with beta. An arc cosine of more than one is not a number, and fails.
fn kinds_suit(n3: f64, n4: f64, n5: f64, n6: f64, p: i64) -> bool {
    let (a, b, c) = (n6 - n3, n4 + n5, n3 + n5);
    let beta = ((a * a + b * b - c * c) / (2.0 * a * b)).acos();
    let squared = a * a + b * b - 2.0 * a * b * (2.0 * PI / p as f64 - beta).cos();
    (c + 2.0 + DELTA).powi(2) <= squared
}

/// Whether all conditions of the planetary problem are met.
pub fn allowed([n1, n2, n3, n4, n5, n6, p, m1, m2]: [i64; 9]) -> bool {
    let teeth = [n1, n2, n3, n4, n5, n6];
    modules_suit(teeth, m1, m2) && planets_suit(teeth, p)
}

/// The least worth that is allowed in the area, and the first point that has it.
///
/// Plain, but no fool: conditions are asked for only where the ratios would be the best so
/// far, each as soon as its variables are known.
pub fn planetary(area: &Area<9>) -> Option<(f64, [i64; 9])> {
    let [n1, n2, n3, n4, _, n6, ..] = area.map(|side| side.low..=side.high);
    let mut best: Option<(f64, [i64; 9])> = None;
    for n4 in n4 {
        for n6 in n6.clone() {
            for n3 in n3.clone() {
                for n2 in n2.clone() {
                    for n1 in n1.clone() {
                        let worth = farthest_ratio(n1, n2, n3, n4, n6);
                        if best.is_none_or(|(best, _)| worth < best)
                            && let Some(point) = first_allowed([n1, n2, n3, n4, n6], area)
                        {
                            best = Some((worth, point));
                        }
                    }
                }
            }
        }
    }
    best
}

/// The first choice of N5, p and modules that goes with the teeth that decide the ratios.
fn first_allowed([n1, n2, n3, n4, n6]: [i64; 5], area: &Area<9>) -> Option<[i64; 9]> {
    let [.., n5, _, p, m1, m2] = area.map(|side| side.low..=side.high);
    for n5 in n5 {
        let teeth = [n1, n2, n3, n4, n5, n6];
        for p in p.clone().filter(|&p| planets_suit(teeth, p)) {
            for m1 in m1.clone() {
                for m2 in m2.clone() {
                    if modules_suit(teeth, m1, m2) {
                        return Some([n1, n2, n3, n4, n5, n6, p, m1, m2]);
                    }
                }
            }
        }
    }
    None
}
