//! Every constant of the physics, with its unit, its reason and its source.
//!
//! Electrical defaults of parts are the file format's and live with the parts. A constant without a public source
//! is an "example value" and is shown to people as such.

/// Ohms of a conducting diode behind its drop (file format).
pub const DIODE_OHMS: f64 = 0.01;

/// Ohms put across a blocking diode while the diodes' states are sought, never in a result. Large enough that no
/// real path is near it, so it decides only what a chain of blocked diodes would do.
pub const DIODE_SEARCH_OHMS: f64 = 1e9;

/// Ohms of a diode that has failed shorted (example value).
pub const SHORTED_DIODE_OHMS: f64 = 0.05;

/// K or kPa by which a level may miss a set point from rounding alone (conversions between units cost some 1e-14 of
/// it).
pub const LEVEL_SLACK: f64 = 1e-9;

/// Amps below which a diode carries nothing worth the name: ten times what 100 V drives through the search ohms.
pub const DIODE_IDLE_AMPS: f64 = 1e-6;

/// Amps by which a conducting diode's current may seem reversed from rounding alone.
pub const DIODE_AMPS_SLACK: f64 = 1e-10;

/// Volts by which a blocking diode may seem forward from rounding alone.
pub const DIODE_VOLTS_SLACK: f64 = 1e-9;

/// Ohms used for a join of nothing at all that would contradict an ideal source. The current is then far beyond
/// any fuse, which is what a person must be told; its exact size means nothing.
pub const CONTRADICTION_OHMS: f64 = 1e-6;

/// Ohms below which a branch is an exact join: no wire is so good, and its conductance would drown everything else.
pub const JOIN_OHMS: f64 = 1e-12;

/// Rounds in which contacts, coils and modules must come to rest. A chain of relays each waiting for the last takes
/// a round each; past this the outcome says it gave up.
pub const SETTLE_ROUNDS: usize = 600;

/// Multiple of its rating from which a fuse opens in a settled circuit (file format; ISO 8820-3 tests at 135 %).
pub const FUSE_OPENS_AT: f64 = 1.35;

/// Share by which the loads of two fuses in one line may seem to differ from rounding alone.
pub const SAME_LOAD: f64 = 1e-9;

/// Factor between the loads of two fuses within which it is chance which one opens first (a fuse's band of times is
/// wider than that).
pub const CLOSE_LOAD: f64 = 1.25;

/// Share of its supply at which a module's or timer's `in` counts as fed (example value).
pub const FED_SHARE: f64 = 0.5;

/// Volts between 15 and 31 from which a timer works (example value, as for modules).
pub const TIMER_WORKS_FROM: f64 = 6.0;

/// Opening time of a blade fuse: multiple of rating, shortest and longest time in seconds (ISO 8820-3 type C, from
/// memory, not verified; the 350 % row's short end is 0.04 or 0.08 s depending on the table).
pub const FUSE_BAND: [(f64, f64, f64); 5] =
    [(1.35, 0.75, 600.0), (1.60, 0.25, 50.0), (2.00, 0.15, 5.0), (3.50, 0.04, 0.5), (6.00, 0.02, 0.1)];

/// Atmosphere in kPa absolute (standard atmosphere, exact).
pub const ATMOSPHERE_KPA: f64 = 101.325;

/// Sonic conductance of a clogged filter, in dm³/(s bar): it stretches a fill to some seconds (example value).
pub const CLOGGED_CONDUCTANCE: f64 = 0.05;

/// Sonic conductance of a plugged exhaust, in dm³/(s bar): it holds the clutch for minutes (example value).
pub const PLUGGED_CONDUCTANCE: f64 = 0.003;

/// Pressure ratio from which flow is laminar and falls in a straight line (usual in simulation; ISO 6358-1:2013 leaves
/// it open).
pub const LAMINAR_FROM: f64 = 0.999;

/// Sonic conductance of one mm² of sharp-edged hole in dm³/(s bar): a fifth of the area, times 0.61.
pub const HOLE_CONDUCTANCE_PER_MM2: f64 = 0.2 * 0.61;

/// Share of the stated minimum at which an air-applied clutch begins to bite (30 of 90 psi: common practice, no
/// source).
pub const BITES_AT_SHARE: f64 = 30.0 / 90.0;

/// Share of the stated minimum at which an air-applied clutch just carries the fan at governed speed (70 of 90 psi:
/// common practice, no source: below it a good clutch may slip).
pub const HOLDS_FROM_SHARE: f64 = 70.0 / 90.0;

/// Share of the stated minimum at which a spring-applied clutch just fails to carry the fan at governed speed
/// (55 of 90 psi: example value).
pub const SPRING_SLIPS_SHARE: f64 = 55.0 / 90.0;

/// Share of the stated minimum at which a spring-applied clutch is free (85 of 90 psi: common practice, no source).
pub const SPRING_FREE_SHARE: f64 = 85.0 / 90.0;

/// Engine speed of an idling engine in rpm (example value).
pub const IDLE_RPM: f64 = 600.0;
/// Governed engine speed in rpm at which the clutch must carry the fan (example value).
pub const GOVERNED_RPM: f64 = 2100.0;

/// Facing of a new clutch in mm (1/4 in: common practice, no source).
pub const FACING_NEW_MM: f64 = 6.35;

/// Facing below which it is replaced, in mm (1/16 in: common practice, no source).
pub const FACING_LIMIT_MM: f64 = 1.5875;

/// Share of the biting range that a facing worn to its limit adds before the clutch bites (example value).
pub const WORN_CLEARANCE_SHARE: f64 = 0.15;

/// Share of its friction that a facing with oil on it still has (example value; handbooks give wet linings a quarter to
/// a half of dry ones').
pub const OILED_FRICTION_SHARE: f64 = 0.35;

/// Share of its force that a weak spring still has in a spring-applied clutch (example value: too little to carry the
/// fan at governed speed).
pub const WEAK_SPRING_SHARE: f64 = 0.3;

/// Share of the stated minimum whose clamp is left on an air-applied facing that its spring no longer draws clear
/// (example value: the fan drags).
pub const DRAG_SHARE: f64 = 0.02;

/// Heat an insulated wire gives off to still air, in W/(m² K): free convection and radiation together (textbooks give
/// 5 to 25; example value).
pub const STILL_AIR_W_PER_M2_K: f64 = 12.0;

/// Diameter of an insulated wire over that of its copper (example value).
pub const INSULATION_SHARE: f64 = 1.9;

/// Steady temperature in °C up to which harness insulation is good (ISO 6722-1 class B, from memory).
pub const WIRE_LIMIT_C: f64 = 100.0;

/// Steady temperature in °C up to which a test lead is (PVC, example value).
pub const LEAD_LIMIT_C: f64 = 70.0;

/// Copper of a test lead in mm² (example value).
pub const LEAD_MM2: f64 = 1.0;

/// Temperature in °C at which insulation softens, smokes and bares the copper (example value).
pub const SMOKES_C: f64 = 160.0;

/// Amps a temperature or pressure switch may carry (example value).
pub const SENSOR_CONTACT_AMPS: f64 = 8.0;

/// Amps a dash switch, selector or timer contact may carry (example value).
pub const HAND_CONTACT_AMPS: f64 = 15.0;

/// Amps a key switch or relay contact may carry (example value).
pub const RELAY_CONTACT_AMPS: f64 = 30.0;

/// Ohms from which a chafed or damp spot limits current like a load rather than joining like a wire (example value:
/// 12 V then drive about an amp).
pub const SOFT_TIE_OHMS: f64 = 10.0;

/// Ohms of a digital voltmeter on its volts range (common practice; the usual handheld's input).
pub const VOLTMETER_OHMS: f64 = 10e6;

/// Ohms of the low-impedance setting of a meter (common practice: about 3 kohm).
pub const LOW_IMPEDANCE_OHMS: f64 = 3e3;

/// Volts an ohmmeter puts on open leads (example value: low enough to open no diode).
pub const OHMMETER_VOLTS: f64 = 0.2;

/// Ohms behind an ohmmeter's source: it drives 1 mA through a dead short (example value).
pub const OHMMETER_OHMS: f64 = 200.0;

/// Ohms from which an ohmmeter shows overload (example value: top range of a usual handheld).
pub const OHMMETER_RANGE_OHMS: f64 = 40e6;

/// Volts across the leads from which an ohmmeter's input protects itself (example value).
pub const OHMMETER_PROTECTED_VOLTS: f64 = 2.0;

/// Ohms of that input once its protection is hot (example value).
pub const OHMMETER_PROTECTED_OHMS: f64 = 1e6;

/// Volts from elsewhere across an ohmmeter's leads that already spoil its reading: half a digit of 0.1 ohm.
pub const OHMMETER_SPOILT_VOLTS: f64 = 5e-5;

/// Ohms of an ammeter with its leads (example value).
pub const AMMETER_OHMS: f64 = 0.05;

/// Rating in amps of the fuse in an ammeter (common practice, no source).
pub const AMMETER_FUSE_AMPS: f64 = 10.0;

/// Amps by which a small clamp for direct current drifts from zero (example value).
pub const CLAMP_DRIFT_AMPS: f64 = 0.1;

/// Watts of the bulb in a test lamp, at its rated volts (example value; 12 V and 1.2 W are a common small bulb, 120 ohm
/// hot, within the 100 to 200 ohm usual for probing).
pub const TEST_LAMP_WATTS: f64 = 1.2;

/// Ohms of a tungsten filament at rated volts over those at room temperature (about 12 at 2300 K: H. A. Jones and
/// I. Langmuir, The characteristics of tungsten filaments as functions of temperature, 1927, from memory).
pub const FILAMENT_HOT_OVER_COLD: f64 = 12.0;

/// A filament's ohms follow its volts with this power: lamp makers' re-rating rule has current go with volts to the
/// 0.55 (IES Lighting Handbook, from memory).
pub const FILAMENT_OHMS_EXPONENT: f64 = 0.45;

/// Share of a lamp's rated volts from which it is seen to glow by day (example value; by the re-rating rule, light
/// with volts to the 3.4, it then gives a few thousandths of its light).
pub const LAMP_GLOWS_SHARE: f64 = 0.15;

/// Share from which a hand would call it bright (example value: it then gives some three tenths of its light).
pub const LAMP_BRIGHT_SHARE: f64 = 0.7;

/// Pressure difference in kPa below which two vessels count as at one pressure: a hundredth of what a gauge shows.
pub const SAME_PRESSURE_KPA: f64 = 0.02;

/// Pressure in kPa by which the tanks must come above the protection valve's closing pressure before it opens again
/// (about 5 psi, example value): a piston valve does not open where it closes.
pub const PROTECTION_REOPENS_KPA: f64 = 35.0;

/// Torque of the fan's bearing, in newton metres (example value).
pub const FAN_BEARING_NM: f64 = 2.0;

/// Torque with which a rough bearing takes a released fan along, in newton metres (example value).
pub const ROUGH_BEARING_NM: f64 = 6.0;

/// Share of what the fan asks for at governed speed that a slack belt still carries (example value).
pub const SLACK_BELT_SHARE: f64 = 0.5;

/// Share of the air, and of the torque, that a fan with damaged blades still has (example value: one blade of six).
pub const DAMAGED_FAN_SHARE: f64 = 0.83;

/// Steady rise of a coil's temperature for each watt in it, in kelvin (example value).
pub const COIL_KELVIN_PER_WATT: f64 = 12.0;

/// Time in which a coil comes to 63 % of its rise, in seconds (example value).
pub const COIL_SECONDS: f64 = 300.0;

/// Kelvin by which a coil may warm before the circuit is solved anew (1.2 % of its resistance).
pub const COIL_STEP_KELVIN: f64 = 3.0;

/// Inductance of a coil over its resistance, in seconds (example value).
pub const COIL_HENRY_PER_OHM: f64 = 5e-3;

/// Air at which the engine's figures for the refrigerant hold, in °C.
pub const REFRIGERANT_AT_C: f64 = 20.0;

/// Capacitance of a coil's own winding that its kick charges, in farads (example value; with it a bare 12 V relay comes
/// to the some 1,500 V that makers' notes on suppressing relay coils tell, from memory).
pub const WINDING_FARADS: f64 = 4e-9;

/// Capacitance of a metre of wire to what is around it in a harness, in farads (about 100 pF a metre: common practice,
/// no source).
pub const WIRE_FARADS_PER_METRE: f64 = 1e-10;

/// Ohms behind the source that stands for a coil's current in the moment after a break: far above whatever may carry
/// it.
pub const KICK_SOURCE_OHMS: f64 = 1e9;
