//! Humid air: how much vapour it holds, can hold, and what that means for a thermometer and a cold surface.
//!
//! Hyland & Wexler, "Formulations for the thermodynamic properties of the saturated phases of H2O from 173.15 K to
//! 473.15 K", ASHRAE Trans. 89(2A):500-519, 1983, in the form of ASHRAE Handbook Fundamentals 2017, chapter 1, equations
//! 5 and 6; wet bulb by its equations 33 and 35. Coefficients read in public code that cites both.
//!
//! Range: −100 to 200 °C for the saturation pressure; as the air of a building and its weather, −60 to 60 °C. Air is taken
//! as an ideal gas, which gives humidity ratios 0.4 to 0.5 % under those of real-gas references. Below the triple point
//! (0.01 °C) relative humidity is over ice; weather services report it over water, which is some 5 % more at −5 °C.

use super::{OutOfRange, within};

pub const SOURCE: &str = "Hyland & Wexler, ASHRAE Trans. 89(2A):500-519, 1983; ASHRAE Handbook Fundamentals 2017, ch. 1 (as read in public code)";

/// Sea level.
pub const STANDARD_PRESSURE_PA: f64 = 101_325.0;
/// Molar mass of water over that of dry air.
pub const EPSILON: f64 = 0.621945;
/// Gas constant of water vapour, J/(kg K).
pub const VAPOUR_GAS_CONSTANT: f64 = 461.52;
/// 0 °C in kelvin.
pub const ZERO_CELSIUS: f64 = 273.15;

/// At the triple point, not at 0 °C: the curve is then one without a step that matters, and can be inverted.
const TRIPLE_POINT_CELSIUS: f64 = 0.01;
const COLDEST_CELSIUS: f64 = -100.0;
pub(super) const WEATHER_CELSIUS: (f64, f64) = (-60.0, 60.0);
/// From above the highest mountain to a pressure chamber. Water does not boil within it below 60 °C.
pub(super) const PRESSURES_PA: (f64, f64) = (20_000.0, 200_000.0);

/// Vapour pressure of saturated air, over ice below 0.01 °C. For −100 to 200 °C.
pub fn saturation_pa(celsius: f64) -> f64 {
    let t = celsius + ZERO_CELSIUS;
    let ln_p = if celsius <= TRIPLE_POINT_CELSIUS {
        let by_powers = 6.3925247 + t * (-9.677843e-3 + t * (6.2215701e-7 + t * (2.0747825e-9 - t * 9.484024e-13)));
        -5.6745359e3 / t + by_powers + 4.1635019 * t.ln()
    } else {
        let by_powers = 1.3914993 + t * (-4.8640239e-2 + t * (4.1764768e-5 - t * 1.4452093e-8));
        -5.8002206e3 / t + by_powers + 6.5459673 * t.ln()
    };
    ln_p.exp()
}

/// How fast that pressure rises, Pa/K. Over water: for 0.01 to 200 °C.
pub fn saturation_slope_pa_per_k(celsius: f64) -> f64 {
    let t = celsius + ZERO_CELSIUS;
    saturation_pa(celsius)
        * (5.8002206e3 / (t * t) - 4.8640239e-2 + t * (8.3529536e-5 - t * 4.3356279e-8) + 6.5459673 / t)
}

/// Air that was checked to be within range.
#[derive(Clone, Copy, PartialEq, Debug)]
pub struct Air {
    celsius: f64,
    vapour_pa: f64,
    pressure_pa: f64,
}

impl Air {
    /// `relative_humidity` from 0 to 1.
    pub fn new(celsius: f64, relative_humidity: f64, pressure_pa: f64) -> Result<Self, OutOfRange> {
        let celsius = within("air temperature", celsius, WEATHER_CELSIUS, " °C")?;
        let humidity = within("relative humidity as a part of 1", relative_humidity, (0.0, 1.0), "")?;
        let pressure_pa = within("air pressure", pressure_pa, PRESSURES_PA, " Pa")?;
        Ok(Self { celsius, vapour_pa: humidity * saturation_pa(celsius), pressure_pa })
    }

    pub fn celsius(&self) -> f64 {
        self.celsius
    }

    pub fn vapour_pa(&self) -> f64 {
        self.vapour_pa
    }

    pub fn pressure_pa(&self) -> f64 {
        self.pressure_pa
    }

    pub fn saturation_pa(&self) -> f64 {
        saturation_pa(self.celsius)
    }

    /// From 0 to 1.
    pub fn relative_humidity(&self) -> f64 {
        self.vapour_pa / self.saturation_pa()
    }

    /// Kilograms of vapour for each kilogram of dry air.
    pub fn humidity_ratio(&self) -> f64 {
        humidity_ratio(self.vapour_pa, self.pressure_pa)
    }

    pub fn vapour_density_g_m3(&self) -> f64 {
        1000.0 * self.vapour_pa / (VAPOUR_GAS_CONSTANT * (self.celsius + ZERO_CELSIUS))
    }

    /// Below it, this air wets a surface. None where it is too dry for the method: its dew point is under −100 °C.
    pub fn dew_point_celsius(&self) -> Option<f64> {
        if self.vapour_pa < saturation_pa(COLDEST_CELSIUS) {
            return None;
        }
        Some(rising_root(COLDEST_CELSIUS, self.celsius, |celsius| saturation_pa(celsius) - self.vapour_pa))
    }

    /// What a thermometer in a wet sock shows.
    pub fn wet_bulb_celsius(&self) -> f64 {
        let ratio = self.humidity_ratio();
        let coldest = self.dew_point_celsius().unwrap_or(COLDEST_CELSIUS);
        rising_root(coldest, self.celsius, |wet| self.ratio_at_wet_bulb(wet) - ratio)
    }

    /// The humidity ratio that this air would have if its wet bulb were this.
    fn ratio_at_wet_bulb(&self, wet: f64) -> f64 {
        let saturated = humidity_ratio(saturation_pa(wet), self.pressure_pa);
        let dry = self.celsius;
        if wet >= 0.0 {
            ((2501.0 - 2.326 * wet) * saturated - 1.006 * (dry - wet)) / (2501.0 + 1.86 * dry - 4.186 * wet)
        } else {
            ((2830.0 - 0.24 * wet) * saturated - 1.006 * (dry - wet)) / (2830.0 + 1.86 * dry - 2.1 * wet)
        }
    }

    /// The relative humidity of this air once it is brought to a room's temperature. Its vapour stays, so that its vapour
    /// pressure stays; 1 or more means that it wets the room.
    pub fn humidity_brought_to(&self, room_celsius: f64) -> Result<f64, OutOfRange> {
        Ok(self.vapour_pa / saturation_pa(within("room temperature", room_celsius, WEATHER_CELSIUS, " °C")?))
    }
}

fn humidity_ratio(vapour_pa: f64, pressure_pa: f64) -> f64 {
    EPSILON * vapour_pa / (pressure_pa - vapour_pa)
}

/// Where a rising function crosses zero, by halving: it cannot run away, as Newton's steps can.
fn rising_root(mut low: f64, mut high: f64, f: impl Fn(f64) -> f64) -> f64 {
    while high - low > 1e-9 {
        let middle = 0.5 * (low + high);
        if f(middle) > 0.0 { high = middle } else { low = middle }
    }
    0.5 * (low + high)
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    #[track_caller]
    fn close(found: f64, wanted: f64, relative: f64) {
        assert!((found - wanted).abs() <= relative * wanted.abs(), "{found} is not {wanted}");
    }

    #[track_caller]
    fn near(found: f64, wanted: f64, absolute: f64) {
        assert!((found - wanted).abs() <= absolute, "{found} is not {wanted}");
    }

    fn air(celsius: f64, humidity: f64) -> Air {
        Air::new(celsius, humidity, STANDARD_PRESSURE_PA).unwrap()
    }

    #[test]
    fn saturation_pressure_is_that_of_two_reference_libraries() {
        // Columns: °C, psychrolib 2.5.0 (the same equations), CoolProp 8.0.0 (IAPWS-95). Computed with both.
        // The first is printed to 6 or 7 digits, so that 1e-6 is its last digit. The second differs by up to 0.0225 %.
        let table = [
            (0.02, 612.101, 612.099),
            (1.0, 657.072, 657.086),
            (5.0, 872.487, 872.575),
            (10.0, 1227.995, 1228.199),
            (15.0, 1705.448, 1705.793),
            (18.0, 2064.292, 2064.735),
            (20.0, 2338.804, 2339.318),
            (21.0, 2487.667, 2488.219),
            (22.0, 2644.753, 2645.344),
            (23.0, 2810.442, 2811.072),
            (24.0, 2985.127, 2985.798),
            (26.0, 3363.132, 3363.888),
            (28.0, 3782.207, 3783.053),
            (30.0, 4246.030, 4246.971),
            (35.0, 5627.819, 5629.016),
            (40.0, 7383.460, 7384.938),
        ];
        for (celsius, same, other) in table {
            close(saturation_pa(celsius), same, 1e-6);
            close(saturation_pa(celsius), other, 2.5e-4);
        }
        // psychrolib at 0 °C, which is below the triple point: over ice.
        close(saturation_pa(0.0), 611.154, 1e-6);
    }

    #[test]
    fn the_slope_is_the_derivative() {
        // Computed from the same equation, Pa/K.
        let table = [(10.0, 82.2744), (20.0, 144.8754), (22.0, 161.3229), (24.0, 179.3181), (30.0, 243.7433)];
        for (celsius, slope) in table {
            close(saturation_slope_pa_per_k(celsius), slope, 1e-6);
            let by_difference = (saturation_pa(celsius + 1e-3) - saturation_pa(celsius - 1e-3)) / 2e-3;
            close(saturation_slope_pa_per_k(celsius), by_difference, 1e-6);
        }
    }

    #[test]
    fn humid_air_is_that_of_two_reference_libraries() {
        // °C, humidity; psychrolib 2.5.0: W, dew point, wet bulb; CoolProp 8.0.0: the same; vapour Pa, g/m³. At sea level.
        // Dew points: psychrolib's own solver stops at 0.001 °C. CoolProp's W is that of a real gas.
        #[rustfmt::skip]
        let table = [
            (21.0, 0.30, 0.0046149, 2.7802, 11.5695, 0.0046352, 2.7833, 11.5570, 746.300, 5.4974),
            (21.0, 0.60, 0.0092987, 12.9467, 16.0085, 0.0093400, 12.9485, 16.0036, 1492.600, 10.9947),
            (22.0, 0.45, 0.0073920, 9.5335, 14.6722, 0.0074249, 9.5361, 14.6645, 1190.139, 8.7370),
            (22.0, 0.50, 0.0082242, 11.1101, 15.4254, 0.0082608, 11.1124, 15.4189, 1322.377, 9.7078),
            (23.0, 0.40, 0.0069777, 8.6885, 14.6689, 0.0070089, 8.6914, 14.6601, 1124.177, 8.2249),
            (24.0, 0.30, 0.0055459, 5.3745, 13.7104, 0.0055707, 5.3782, 13.6982, 895.538, 6.5301),
            (24.0, 0.60, 0.0111917, 15.7629, 18.6047, 0.0112421, 15.7652, 18.6008, 1791.076, 13.0601),
            (26.0, 0.70, 0.0147940, 20.1059, 21.8719, 0.0148619, 20.1079, 21.8696, 2354.193, 17.0515),
            (10.0, 0.80, 0.0060891, 6.7130, 8.2903, 0.0061151, 6.7135, 8.2878, 982.396, 7.5176),
            (30.0, 0.75, 0.0201813, 25.0808, 26.3091, 0.0202769, 25.0831, 26.3087, 3184.523, 22.7613),
            (35.0, 0.50, 0.0177655, 23.0204, 26.1414, 0.0178525, 23.0262, 26.1395, 2813.910, 19.7860),
            (40.0, 0.20, 0.0091982, 12.7831, 22.0322, 0.0092445, 12.7940, 22.0218, 1476.692, 10.2176),
        ];
        for (celsius, humidity, w, dew, wet, real_w, real_dew, real_wet, pa, density) in table {
            let it = air(celsius, humidity);
            // Printed to five digits.
            near(it.humidity_ratio(), w, 0.5001e-7);
            close(it.humidity_ratio(), real_w, 6e-3);
            near(it.dew_point_celsius().unwrap(), dew, 5e-3);
            near(it.dew_point_celsius().unwrap(), real_dew, 15e-3);
            near(it.wet_bulb_celsius(), wet, 1e-2);
            near(it.wet_bulb_celsius(), real_wet, 2e-2);
            close(it.vapour_pa(), pa, 1e-6);
            near(it.vapour_density_g_m3(), density, 0.5001e-4);
        }
    }

    #[test]
    fn pressure_counts() {
        // psychrolib 2.5.0 at 84 500 Pa, 22 °C, 45 %.
        let high_up = Air::new(22.0, 0.45, 84_500.0).unwrap();
        near(high_up.humidity_ratio(), 0.0088849, 0.5001e-7);
        near(high_up.wet_bulb_celsius(), 14.1700, 1e-2);
    }

    #[test]
    fn outdoor_air_keeps_its_vapour_when_it_is_brought_in() {
        // Computed with psychrolib 2.5.0: outdoors, its vapour pressure, and the humidity at 22 and at 24 °C.
        let table = [
            (-10.0, 0.80, 207.92, 0.0786, 0.0697),
            (-5.0, 0.80, 321.41, 0.1215, 0.1077),
            (0.0, 0.90, 550.04, 0.2080, 0.1843),
            (5.0, 0.85, 741.61, 0.2804, 0.2484),
            (13.0, 0.95, 1422.92, 0.5380, 0.4767),
            (26.0, 0.70, 2354.19, 0.8901, 0.7886),
            // It wets a room at 22 °C: a window is then the wrong help.
            (28.0, 0.75, 2836.66, 1.0726, 0.9503),
        ];
        for (celsius, humidity, pa, at_22, at_24) in table {
            let outside = air(celsius, humidity);
            near(outside.vapour_pa(), pa, 6e-3);
            near(outside.humidity_brought_to(22.0).unwrap(), at_22, 6e-5);
            near(outside.humidity_brought_to(24.0).unwrap(), at_24, 6e-5);
        }
    }

    #[test]
    fn the_wet_bulb_below_freezing_is_over_ice() {
        // psychrolib 2.5.0, GetTWetBulbFromRelHum: −5 °C 80 %, and 2 °C 30 %.
        near(air(-5.0, 0.80).wet_bulb_celsius(), -5.88395, 1e-2);
        near(air(2.0, 0.30).wet_bulb_celsius(), -2.75601, 1e-2);
    }

    #[test]
    fn what_no_air_can_be_is_refused() {
        for (celsius, humidity, pressure) in [
            (22.0, 1.01, 101_325.0),
            (22.0, -0.01, 101_325.0),
            (72.0, 0.45, 101_325.0),
            (-300.0, 0.45, 101_325.0),
            (f64::NAN, 0.45, 101_325.0),
            (22.0, f64::NAN, 101_325.0),
            (22.0, 0.45, 1013.25),
            (22.0, 0.45, f64::INFINITY),
        ] {
            assert!(Air::new(celsius, humidity, pressure).is_err(), "{celsius} {humidity} {pressure}");
        }
        assert!(air(22.0, 0.45).humidity_brought_to(72.0).is_err());
    }

    #[test]
    fn perfectly_dry_air_has_no_dew_point_and_a_wet_bulb() {
        let dry = air(22.0, 0.0);
        assert_eq!(dry.dew_point_celsius(), None);
        assert!(dry.wet_bulb_celsius() < 10.0 && dry.wet_bulb_celsius() > 0.0, "{}", dry.wet_bulb_celsius());
        assert_eq!((dry.humidity_ratio(), dry.vapour_density_g_m3()), (0.0, 0.0));
    }

    proptest! {
        #[test]
        fn dew_point_wet_bulb_and_air_stand_in_this_order(celsius in -40.0..60.0, humidity in 0.01..1.0_f64) {
            let it = air(celsius, humidity);
            let (dew, wet) = (it.dew_point_celsius().unwrap(), it.wet_bulb_celsius());
            prop_assert!(dew <= wet + 1e-6 && wet <= celsius + 1e-6, "{dew} {wet} {celsius}");
            prop_assert!((it.humidity_brought_to(celsius).unwrap() - humidity).abs() < 1e-12);
        }

        #[test]
        fn warmer_air_can_hold_more(celsius in -99.0..199.0) {
            prop_assert!(saturation_pa(celsius + 0.5) > saturation_pa(celsius));
        }
    }
}
