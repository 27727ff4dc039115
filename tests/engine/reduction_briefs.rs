//! The request for a reduction: what is right is read, and means what it says.

use std::path::{Path, PathBuf};

use crate::crank::{LIST, PLAIN, STOCKED, parse};
use coaxle::Mistake;
use coaxle::brief::{
    BackDriving, Coupling, Direction, ReductionBrief, StockGear, Variant, no_list,
};
use coaxle::num::fraction;
use coaxle::score::Criterion;
use coaxle::teeth::{Catalogue, ToothLimits};
use coaxle::train::SetKind;
use rstest::rstest;

fn right(text: &str) -> ReductionBrief {
    parse(text).unwrap_or_else(|mistake| panic!("{mistake}\n{text}"))
}

fn with_list(list: &str) -> Result<ReductionBrief, Mistake> {
    ReductionBrief::parse(STOCKED, "winch", |file| {
        assert_eq!(file, Path::new("drawer.csv"));
        Ok(list.to_owned())
    })
}

fn config(name: &str) -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).join(format!("configs/{name}.toml"))
}

#[test]
fn the_plain_brief_is_understood() {
    let brief = right(PLAIN);
    assert_eq!((brief.title.as_str(), brief.name.as_str()), ("Hollowfell test crank", "test"));
    assert_eq!((brief.ratio.target, brief.ratio.tolerance), (fraction(288, 5), 0.01));
    assert_eq!((brief.ratio.direction, brief.ratio.close_enough), (Direction::Either, 0.0005));
    assert_eq!((brief.train.sets, brief.train.kinds), (vec![2, 3], vec![SetKind::Single]));
    assert_eq!(brief.train.coupling, Coupling::Series);
    assert_eq!(brief.train.back_driving, BackDriving::Free);
    assert_eq!((brief.room.bore, brief.room.length), (Some(90.0), None));
    assert_eq!((brief.room.modules, brief.room.width), (vec![1.0, 1.25], (8.0, 15.0)));
    assert_eq!((brief.teeth.sun, brief.teeth.ring), ((12, 60), (36, 120)));
    let load = brief.load.unwrap();
    assert_eq!((load.output_torque, load.application_factor, load.sharing), (40.0, 1.25, None));
    let names: Vec<_> = brief.variants.iter().map(|variant| variant.name.as_str()).collect();
    assert_eq!(names, ["steel", "printed"]);
    assert_eq!(brief.variants[0].ring, "case-hardened-steel");
    assert_eq!(brief.objectives, [Criterion::RatioError, Criterion::Length]);
    assert_eq!(brief.limits[0].criterion, Criterion::Efficiency);
    assert_eq!((brief.making.shaft, brief.making.pin, brief.making.layouts), (Some(8.0), None, 1));
    assert_eq!((brief.effort.tries, brief.effort.keep), (100, 2000));
}

#[test]
fn a_target_is_enough() {
    let brief = right("ratio = { target = 5 }");
    let steel = "tempered-steel".to_owned();
    let unnamed = Variant {
        name: String::new(),
        sun: steel.clone(),
        planet: steel.clone(),
        ring: steel.clone(),
        carrier: steel.clone(),
        shaft: steel,
    };
    assert_eq!((brief.title.as_str(), brief.variants), ("test", vec![unnamed]));
    assert_eq!((brief.load, brief.stock, brief.train.sets), (None, None, vec![1, 2, 3]));
    assert_eq!((brief.ratio.tolerance, brief.room.modules), (0.005, vec![1.0, 1.25, 1.5, 2.0]));
    assert_eq!(brief.objectives.len(), 5);
}

/// 57.6 is 288/5 and nothing near it, however long the decimal.
#[rstest]
#[case("57.6", 288, 5)]
#[case("\"288/5\"", 288, 5)]
#[case("\"57.6\"", 288, 5)]
#[case("5.76e1", 288, 5)]
#[case("57.600_000", 288, 5)]
#[case("1_440", 1440, 1)]
#[case("\"1/3\"", 1, 3)]
#[case("0.0001", 1, 10_000)]
#[case("1e6", 1_000_000, 1)]
#[case("1.000000000000000001", 1_000_000_000_000_000_001, 1_000_000_000_000_000_000)]
fn the_target_is_exact(#[case] written: &str, #[case] numerator: i64, #[case] denominator: i64) {
    let text = PLAIN.replace("57.6", written);
    assert_eq!(right(&text).ratio.target, fraction(numerator, denominator));
    let windows = format!("\u{feff}{}", text.replace('\n', "\r\n"));
    assert_eq!(right(&windows), right(&text));
}

#[test]
fn exact_is_a_tolerance_of_nothing() {
    let exact = right(&PLAIN.replace("tolerance = 0.01", "exact = true"));
    assert_eq!((exact.ratio.tolerance, exact.ratio.close_enough), (0.0, 0.0));
    assert_eq!(right(&PLAIN.replace("tolerance = 0.01", "tolerance = 0")), exact);
    assert_eq!(right(&PLAIN.replace("0.01", "0.0\nexact = true")), exact);
    assert!(exact.sentence().starts_with("A ratio of 57.6 to 1 exactly is sought"));
}

#[test]
fn equal_requests_have_equal_texts() {
    let brief = right(PLAIN);
    let other = PLAIN
        .replace("57.6", "\"576/10\"")
        .replace("[2, 3]", "[3, 2, 2]")
        .replace("[1.0, 1.25]", "[1.25, 1]")
        .replace("[effort]", "[losses]\nexternal = 0.99\n[effort]\nkeep = 2000");
    assert_eq!(right(&other).canonical_text(), brief.canonical_text());
    let series = right(&PLAIN.replace("[1.0, 1.25]", "\"iso-54-1\"")).room.modules;
    assert_eq!((series.len(), series[0], series[10]), (11, 1.0, 10.0));
    let both = right(&PLAIN.replace("[1.0, 1.25]", "\"iso-54-2\"")).room.modules;
    assert_eq!((both.len(), both[1]), (21, 1.125));
}

#[test]
fn limits_that_a_room_says_too_narrow_it() {
    let limited = |limit: &str| right(&PLAIN.replace("efficiency = { least = 0.9 }", limit));
    assert_eq!(limited("outer_diameter = { most = 80 }").room.bore, Some(80.0));
    assert_eq!(limited("outer_diameter = { most = 180 }").room.bore, Some(90.0));
    assert_eq!(limited("length = { most = 70 }").room.length, Some(70.0));
    assert_eq!(limited("sets = { most = 2 }").train.sets, [2]);
    let brief = limited("outer_diameter = { most = 80 }");
    assert_eq!(right(&brief.canonical_text()), brief);
}

#[test]
fn the_sentence_tells_the_request() {
    assert_eq!(
        right(PLAIN).sentence(),
        "A ratio of 57.6 to 1 within ±1 % is sought with two or three single planetary sets, one \
         behind the other, in module 1 or 1.25 within a bore of 90 mm, for 40 N m at the output \
         at 60 rpm of the input in steel and in printed. What counts is ratio error and length; \
         kept is only what has efficiency at least 0.9."
    );
    let brief = ReductionBrief::read(&config("telescope")).unwrap();
    assert_eq!(
        brief.sentence(),
        "A ratio of 1440 to 1 exactly is sought with two or three single planetary sets, joined \
         in any way, that the output cannot drive back, in module 1 within a bore of 120 mm, for \
         2 N m at the output at 1 rpm of the input in brass. What counts is outer diameter, part \
         count, efficiency and branch power."
    );
    let winch = with_list(LIST).unwrap().sentence();
    assert!(winch.contains("in module 1, from a stock of two kinds of gear."), "{winch}");
}

#[test]
fn the_configs_are_right() {
    for name in ["turntable", "telescope", "stock-winch", "every-reduction-key"] {
        let brief = ReductionBrief::read(&config(name)).unwrap();
        assert_eq!(brief.name, name);
        let again = ReductionBrief::parse(&brief.canonical_text(), name, no_list).unwrap();
        assert_eq!(again, brief);
    }
    let turntable = ReductionBrief::read(&config("turntable")).unwrap();
    assert_eq!((turntable.ratio.target, turntable.room.bore), (fraction(288, 5), Some(90.0)));
    let telescope = ReductionBrief::read(&config("telescope")).unwrap();
    assert_eq!((telescope.ratio.tolerance, telescope.train.coupling), (0.0, Coupling::Any));
}

/// Two sets of the drawer that mesh as bought and make 30: (1 + 90/18) (1 + 96/24).
#[test]
fn the_drawer_holds_a_winch() {
    let winch = ReductionBrief::read(&config("stock-winch")).unwrap();
    let stock = winch.stock.as_ref().unwrap();
    assert!((25..=40).contains(&stock.len()), "{}", stock.len());
    assert_eq!(winch.room.modules, [1.0, 1.5]);
    let count = |internal: bool, teeth: u32| {
        let same = |g: &&StockGear| g.module == 1.0 && (g.internal, g.teeth) == (internal, teeth);
        stock.iter().filter(same).map(|gear| gear.count).sum::<u32>()
    };
    let mut planets = 0;
    for (sun, planet, ring) in [(18, 36, 90), (24, 36, 96)] {
        assert!(count(false, sun) >= 1 && count(true, ring) >= 1);
        planets += 3;
        assert!(count(false, planet) >= planets);
        let [sun, planet, ring] = [sun, planet, ring].map(|teeth| (teeth, teeth));
        let limits = ToothLimits { sun, planet, ring, planets: vec![3], ..winch.teeth.clone() };
        assert!(!Catalogue::build(&limits).is_empty(), "{sun:?}");
    }
}

#[test]
fn a_list_of_gears_is_read() {
    let brief = with_list(LIST).unwrap();
    let gear = |internal, teeth, bore, count, price| StockGear {
        internal,
        teeth,
        module: 1.0,
        bore,
        count,
        price,
    };
    let gears = [gear(false, 20, 8.0, 9, 3.5), gear(true, 60, 74.0, 1, 12.0)];
    assert_eq!(brief.stock.as_deref(), Some(&gears[..]));
    assert_eq!(brief.room.modules, [1.0]);
    // The same gears in another order, one of them in two places, say the same.
    let other = "\u{feff}price , count,bore,module,teeth,kind\r\n12,1,74,1,60,internal\r\n\
                 3.5,4,8,1.00,20,\"external\"\r\n3.5,5,8,1,20,external\r\n";
    let other = with_list(other).unwrap();
    assert_eq!(other.canonical_text(), brief.canonical_text());
    let again = ReductionBrief::parse(&brief.canonical_text(), "winch", no_list).unwrap();
    assert_eq!(again, brief);
    let short = with_list("kind,teeth,module,count\nexternal,20,1,4\ninternal,60,1,1\n").unwrap();
    assert_eq!(short.stock.unwrap()[0], gear(false, 20, 0.0, 4, 0.0));
}
