// The C interface from Rust. Structs and enumerators are made from the header (tests/support/c_interface.py), so that this program
// is laid out as the library is.
use std::ffi::{CStr, CString};
use std::mem::{size_of, zeroed};
use std::ptr::null_mut;

include!(concat!(env!("BINDINGS"), "/bindings.rs"));

fn main() {
    unsafe {
        let mut error: offnominal_error = zeroed();
        error.struct_size = size_of::<offnominal_error>();
        let path = CString::new(std::env::args().nth(1).unwrap()).unwrap();
        let mut system = null_mut();
        assert_eq!(offnominal_system_load(path.as_ptr(), &mut system, &mut error), OFFNOMINAL_OK);
        let mut question: offnominal_conditions = zeroed();
        offnominal_conditions_init(&mut question, size_of::<offnominal_conditions>());
        let (stage, indoor) = (CString::new("high").unwrap(), CString::new("indoor A").unwrap());
        question.stage = stage.as_ptr();
        question.r#match = indoor.as_ptr();
        question.line_set = OFFNOMINAL_LINE_SET_REFERENCE;
        question.boundary = OFFNOMINAL_BOUNDARY_COIL;
        question.airflow_is = OFFNOMINAL_AIRFLOW_STANDARD;
        question.outdoor_dry_bulb = 95.0;
        question.entering_dry_bulb = 80.0;
        question.entering_wet_bulb = 67.0;
        question.airflow = 1000.0;
        question.elevation = 0.0;
        let mut answer: offnominal_expected = zeroed();
        answer.struct_size = size_of::<offnominal_expected>();
        let ip = OFFNOMINAL_UNITS_IP;
        assert_eq!(offnominal_expect(system, ip, &question, &mut answer, &mut error), OFFNOMINAL_OK);
        println!("{:.0}", answer.total_capacity);
        question.outdoor_dry_bulb = 120.0;
        assert_eq!(offnominal_expect(system, ip, &question, &mut answer, &mut error), OFFNOMINAL_REFUSED);
        println!("{}", CStr::from_ptr(error.message.as_ptr()).to_str().unwrap());
        offnominal_system_free(system);
    }
}
