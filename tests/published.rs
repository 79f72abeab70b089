//! Published values this program must meet: handbook tables, textbooks' worked examples, standards.
//!
//! Each test names its source in words and the row of the project's list of check values (CU copper, DC worked
//! examples, RL contacts and relays, VE road vehicles, PN compressed air, ME mechanics). "From memory" marks what nobody here has read in the
//! document itself. Tolerances are half a unit of the last printed digit, or 1e-9 where the exact value is known.
//!
//! Rows that this program cannot express, and why:
//! - CU-20's own resistivity (10.09 ohm cmil/ft, pure copper) is not the program's; its circuit is checked, its wire
//!   is not. CU-22's printed value uses 1.68e-8 ohm m; the value for IACS copper is checked.
//! - DC-31, DC-32: no inductance or capacitance, a settled circuit has no time. DC-33: likewise, a spike is no state.
//! - PN-12: a finding about the table of PN-11. PN-21, PN-23 to PN-26, PN-28, PN-29: brakes, rules for other tanks and
//!   relief valves, which no circuit has. PN-27: no warning lamp is a part; the pressure is checked against it.
//! - ME-04: no facing's friction changes with its radius; only the sum is checked.
//! - DC-07, DC-11, DC-16, DC-19, DC-22 to DC-24: not in the list.
//! - RL-11: of the four time contacts only the off-delay of a timer is a part, and a settled state has no time.
//! - VE-01 to VE-04, VE-07: ranges and ratings of supplies and fuses, which no part has. VE-10: ISO pin numbers are not written anywhere.
//!   VE-13: no rule of thumb is judged yet; VE-14 is checked as a number.

mod support;

#[path = "published/air.rs"]
mod air;
#[path = "published/contacts.rs"]
mod contacts;
#[path = "published/copper.rs"]
mod copper;
#[path = "published/direct_current.rs"]
mod direct_current;
#[path = "published/mechanics.rs"]
mod mechanics;
#[path = "published/vehicle.rs"]
mod vehicle;
