//! Torque, speed and power of every member of a reduction under the load of its brief.

use crate::motion::{solve_state, solve_torques};
use crate::num::{Fraction, to_f64};
use crate::reduction::HubTorque;
use crate::train::{ElementMask, INPUT, Layout, Member, OUTPUT, Role, ShaftId};

/// What one member carries, without losses. Signs are those of `show`: a torque is what its
/// shaft exerts on the set, a power what it gives to the set; the input's torque and speed
/// are positive.
#[derive(Clone, Debug, PartialEq)]
pub struct MemberLoad {
    pub member: Member,
    /// N m; of a member that is held, what the housing has to hold.
    pub torque: f64,
    /// Revolutions a minute.
    pub speed: f64,
    /// W.
    pub power: f64,
    /// In the housing.
    pub held: bool,
}

/// The loads of all members, S, R, C of each set in turn, and what the housing holds in all in
/// N m, for an input of `torque` N m and `speed` revolutions a minute. `None` where the layout
/// does not move in one determined way.
///
/// Exact fractions per input (the Willis rows and their balances) times the load.
pub fn stage_loads(layout: &Layout, torque: f64, speed: f64) -> Option<(Vec<MemberLoad>, f64)> {
    let motion = solve_state(layout, ElementMask::default());
    let torques = solve_torques(layout, &motion)?;
    let mut loads = Vec::new();
    for (set, members) in torques.members.iter().enumerate() {
        for (role, per_input) in Role::ALL.into_iter().zip(members) {
            let member = Member::new(set, role);
            let seat = layout.place(member);
            let turns = motion.speed_at(seat)?;
            let [torque, speed] = [to_f64(per_input.as_ref()?) * torque, to_f64(&turns) * speed];
            let power = torque * speed * std::f64::consts::TAU / 60.0;
            loads.push(MemberLoad { member, torque, speed, power, held: seat.is_none() });
        }
    }
    let housing: &Fraction = &torques.housing;
    Some((loads, to_f64(housing) * torque))
}

/// What stands at the hubs of sun and carrier of `set`, counted from 0, in N m under the loads
/// of all members.
pub fn hub_torques(layout: &Layout, loads: &[MemberLoad], set: usize) -> [HubTorque; 2] {
    let on = |shaft: ShaftId| {
        let members = loads.iter().filter(move |load| layout.place(load.member) == Some(shaft));
        members.map(|load| load.torque)
    };
    [Role::Sun, Role::Carrier].map(|role| {
        let member = Member::new(set, role);
        let torque = loads.iter().find(|load| load.member == member).map_or(0.0, |l| l.torque);
        let Some(shaft) = layout.place(member) else {
            return HubTorque::new(torque, std::iter::empty(), 0.0, false);
        };
        // What acts from outside is what the members together take.
        let outside = if [INPUT, OUTPUT].contains(&shaft) { on(shaft).sum() } else { 0.0 };
        HubTorque::new(torque, on(shaft), outside, shaft == OUTPUT)
    })
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::train::parse_layout;

    /// 12/66 in series with itself, rings held: i = (1 + 5.5)², by hand.
    #[test]
    fn two_stages_by_longhand() {
        let layout = parse_layout(
            "sets = [{ sun = 12, ring = 66 }, { sun = 12, ring = 66 }]\n[shafts]\n\
             input = [\"S1\"]\noutput = [\"C2\"]\nmiddle = [\"C1\", \"S2\"]\n\
             housing = [\"R1\", \"R2\"]\n[elements]\n",
        )
        .unwrap();
        let (loads, housing) = stage_loads(&layout, 2.0, 84.5).unwrap();
        let of = |name: &str| loads.iter().find(|load| load.member.to_string() == name).unwrap();
        let near = |a: f64, b: f64| (a - b).abs() < 1e-9 * b.abs().max(1.0);
        // C1 turns with 84.5 / 6.5 and hands on 2 · 6.5 N m; the rings hold 5.5 times the suns.
        assert!(near(of("C1").speed, 13.0) && near(of("C1").torque, -13.0));
        assert!(near(of("R1").torque, 11.0) && of("R1").held && of("R1").power == 0.0);
        assert!(near(of("R2").torque, 71.5) && near(of("C2").speed, 2.0));
        // The input's power goes in at S1 and out at C2; the housing holds both rings.
        let power = 2.0 * 84.5 * std::f64::consts::TAU / 60.0;
        assert!(near(of("S1").power, power) && near(of("C2").power, -power));
        assert!(near(housing, 82.5));
    }
}
