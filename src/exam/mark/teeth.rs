//! Teeth of a set as they are written: sun, planet and ring in this order, or each behind its
//! letter or name in any order.

use super::Verdict;

const UNREAD: &str = "not sun/planet/ring";

/// Sun, planet, ring, and the number of planets where it is written.
pub(super) fn teeth(written: &str, accepted: &[[u32; 4]]) -> Verdict {
    let Some(read) = read(written) else { return Verdict::Asked(UNREAD) };
    let fits = |one: &[u32; 4]| {
        one[..3] == read.teeth && read.planets.is_none_or(|planets| planets == one[3])
    };
    if accepted.iter().any(fits) {
        return Verdict::Right;
    }
    // The right numbers in another order: a slip of the pen, or another use of the order.
    let sorted = |teeth: &[u32]| {
        let mut sorted = teeth.to_vec();
        sorted.sort_unstable();
        sorted
    };
    let mut numbers = read.teeth.to_vec();
    let three = accepted.iter().any(|one| sorted(&one[..3]) == sorted(&numbers));
    numbers.extend(read.planets);
    let four = numbers.len() == 4 && accepted.iter().any(|one| sorted(one) == sorted(&numbers));
    if !read.named && (three && read.planets.is_none() || four) {
        return Verdict::Asked("the right numbers, but not as sun/planet/ring");
    }
    Verdict::Wrong(None)
}

/// What was written.
struct Teeth {
    teeth: [u32; 3],
    planets: Option<u32>,
    /// Whether each number stood behind its name.
    named: bool,
}

fn read(written: &str) -> Option<Teeth> {
    let pairs = pairs(written)?;
    let names: Vec<Option<usize>> =
        pairs.iter().map(|(name, _)| place(name)).collect::<Option<_>>()?;
    let numbers: Vec<u32> = pairs.iter().map(|(_, number)| *number).collect();
    if names.iter().all(Option::is_none) {
        return in_order(&numbers, false);
    }
    // Names for three or four of them; a number of planets may stand without.
    let mut found = [None; 4];
    for (name, &number) in names.iter().zip(&numbers) {
        let place = match name {
            Some(place) => *place,
            None if pairs.len() == 4 => 3,
            None => return None,
        };
        if found[place].replace(number).is_some() {
            return None;
        }
    }
    let [sun, planet, ring, planets] = found;
    // Only the number of planets is named: the teeth are in order.
    if sun.is_none() && planet.is_none() && ring.is_none() {
        return None;
    }
    Some(Teeth { teeth: [sun?, planet?, ring?], planets, named: true })
}

fn in_order(numbers: &[u32], named: bool) -> Option<Teeth> {
    match *numbers {
        [sun, planet, ring] => Some(Teeth { teeth: [sun, planet, ring], planets: None, named }),
        [sun, planet, ring, planets] => {
            Some(Teeth { teeth: [sun, planet, ring], planets: Some(planets), named })
        }
        _ => None,
    }
}

/// Each number with the letters before it. A unit behind the last is let be.
fn pairs(written: &str) -> Option<Vec<(String, u32)>> {
    let mut pairs = Vec::new();
    let mut rest = written;
    while let Some(at) = rest.find(|c: char| c.is_ascii_digit()) {
        let (before, from) = rest.split_at(at);
        let end = from.find(|c: char| !c.is_ascii_digit()).unwrap_or(from.len());
        let name: String =
            before.chars().filter(|c| c.is_alphabetic()).flat_map(char::to_lowercase).collect();
        pairs.push((name, from[..end].parse().ok()?));
        rest = &from[end..];
    }
    let behind: String = rest.chars().filter(|c| c.is_alphabetic()).collect();
    let behind = behind.to_lowercase();
    (behind.is_empty() || behind == "teeth" || behind == "planets").then_some(pairs)
}

/// Whose teeth a name says: 0 sun, 1 planet, 2 ring, 3 the number of planets; `Some(None)` for
/// no name, `None` for one that is not known.
fn place(name: &str) -> Option<Option<usize>> {
    Some(match name {
        "" | "x" | "and" | "teeth" => None,
        "s" | "zs" | "sun" | "teethsun" => Some(0),
        "p" | "zp" | "planet" | "planets" | "andplanet" => Some(1),
        "r" | "zr" | "ring" | "andring" | "andr" => Some(2),
        "n" | "np" | "number" | "numberofplanets" | "andn" => Some(3),
        _ => return None,
    })
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn teeth_are_three_numbers_or_four_named_or_in_order() {
        let accepted = [[26, 20, 66, 5], [24, 24, 72, 3]];
        for written in [
            "24/24/72",
            "S 24, P 24, R 72, N = 3",
            "S26, P20, R66, N=5",
            "S=26 P=20 R=66",
            "Z_S = 26, Z_P = 20, Z_R = 66",
            "R 66, S 26, P 20",
            "26 20 66",
            "26-20-66",
            "26/20/66/5",
            "26/20/66 × 5",
            "sun 26, planet 20, ring 66",
            "26/20/66 teeth",
        ] {
            let written = written.replace('×', "x");
            assert_eq!(teeth(&written, &accepted), Verdict::Right, "{written}");
        }
        for written in ["24/24/72 x 4", "S 26, P 20, R 60", "S 20, P 26, R 66", "30/20/70"] {
            assert_eq!(teeth(written, &accepted), Verdict::Wrong(None), "{written}");
        }
        for written in [
            "24/72",
            "24/24/72/99999999999",
            "66/20/26",
            "5 planets: 26/20/66",
            "5/26/20/66",
            "A26 B20 C66",
            "S26 S20 R66",
            "",
            "26/20/66 or 24/24/72",
        ] {
            assert!(matches!(teeth(written, &accepted), Verdict::Asked(_)), "{written}");
        }
    }
}
