//! Laws of one layout in one state: speeds, ratio, formula, torque, losses.
