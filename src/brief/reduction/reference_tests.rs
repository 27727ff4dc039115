//! Tests only: the mirror, the table of keys and the reference file of reductions say the
//! same.

use super::written::{WrittenGear, WrittenReduction, WrittenStock};
use super::{REDUCTION, ReductionBrief, canonical, no_list};
use crate::brief::reference_tests::Reference;
use crate::brief::written::WrittenLimit;
use crate::error::Mistake;

const REFERENCE: Reference = Reference {
    text: include_str!("../../../configs/every-reduction-key.toml"),
    dialect: &REDUCTION,
};

fn parse(text: &str) -> Result<ReductionBrief, Mistake> {
    ReductionBrief::parse(text, "every-key", no_list)
}

fn right(text: &str) -> ReductionBrief {
    parse(text).unwrap_or_else(|mistake| panic!("{mistake}\n{text}"))
}

#[test]
fn the_table_of_keys_is_the_mirror() {
    let mut written = canonical::write(&right(REFERENCE.text));
    written.load.as_mut().unwrap().sharing = Some(1.2);
    written.load.as_mut().unwrap().input_torque = Some(0.7);
    written.parts.pin = Some(5.0);
    written.parts.shaft = Some(8.0);
    written.teeth.module = None;
    let gear = WrittenGear { teeth: Some(12), ..WrittenGear::default() };
    written.stock = Some(WrittenStock { file: Some("x".into()), gears: Some(vec![gear]) });
    let limit = WrittenLimit { least: Some(0.0), most: Some(1.0) };
    written.limits.insert("price".into(), limit);
    REFERENCE.keys_are_those_of(&written, "price");
}

#[test]
fn the_mirror_names_the_same_keys_where_it_refuses_one() {
    REFERENCE.mirror_refuses_other_keys::<WrittenReduction>("price");
    let error = toml::from_str::<WrittenReduction>("[[stock.gears]]\nzzz = 1\n").unwrap_err();
    for key in REDUCTION.keys_of("stock.gears") {
        assert!(error.message().contains(&format!("`{key}`")), "{key}: {error}");
    }
}

#[test]
fn the_reference_has_every_key_and_criterion_with_unit_and_default() {
    REFERENCE.is_complete();
}

#[test]
fn every_material_stands_in_the_reference() {
    for material in crate::strength::NAMES {
        assert!(REFERENCE.text.contains(material), "{material}");
    }
}

#[test]
fn the_defaults_are_those_of_the_program() {
    let checked = REFERENCE.defaults_are_true(parse, |brief| &brief.title);
    // All but the title, the three required keys and the six that are commented out.
    assert_eq!(checked, REDUCTION.keys.len() - 10);
}

#[test]
fn the_commented_keys_work_too() {
    let woken = |lines: &[usize]| REFERENCE.variant(|_| false, |at| lines.contains(&at));
    let entries = REFERENCE.entries();
    let limits = entries.iter().filter(|entry| entry.path.starts_with("limits."));
    let limits: Vec<usize> = limits.map(|entry| entry.line).collect();
    let limited = right(&woken(&limits));
    assert_eq!((limited.limits.len(), limited.room.bore), (3, Some(90.0)));

    let line_of = |text: &str| REFERENCE.text.lines().position(|line| line.starts_with(text));
    let variants = ["# steel = ", "# printed = "].map(|text| line_of(text).unwrap());
    let made = right(&woken(&variants)).variants;
    assert_eq!(made.iter().map(|one| one.name.as_str()).collect::<Vec<_>>(), ["steel", "printed"]);
    assert_eq!((made[0].ring.as_str(), made[1].sun.as_str()), ("case-hardened-steel", "nylon"));

    let stock = line_of("# [stock]").unwrap();
    let listed = REFERENCE.variant(
        |at| at == REFERENCE.line("room.modules"),
        |at| at == stock || at == REFERENCE.line("stock.gears"),
    );
    let listed = right(&listed);
    assert_eq!((listed.stock.unwrap().len(), listed.room.modules), (2, vec![1.0]));
    let named = woken(&[stock, REFERENCE.line("stock.file")]);
    assert_eq!(parse(&named).unwrap_err().file.unwrap().to_str(), Some("stock.csv"));

    let more = ["load.sharing", "parts.pin", "parts.shaft"].map(|key| REFERENCE.line(key));
    let more = right(&woken(&more));
    assert_eq!((more.load.unwrap().sharing, more.making.pin), (Some(1.2), Some(5.0)));
    assert_eq!(more.making.shaft, Some(8.0));
    let [output, input] = ["output", "input"].map(|end| format!("load.{end}_torque"));
    let turned =
        REFERENCE.variant(|at| at == REFERENCE.line(&output), |at| at == REFERENCE.line(&input));
    let turned = right(&turned).load.unwrap();
    assert_eq!(turned.input_torque, Some(0.7));
    assert!((turned.output_torque - 0.7 * 57.6).abs() < 1e-12);
}
