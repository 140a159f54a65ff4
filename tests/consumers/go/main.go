// The C interface from Go, by cgo: the header as it is.
package main

// #include <offnominal/offnominal.h>
// #include <stdlib.h>
import "C"

import (
	"os"
	"unsafe"
)

func main() {
	var failure C.offnominal_error
	failure.struct_size = C.size_t(unsafe.Sizeof(failure))
	path := C.CString(os.Args[1])
	defer C.free(unsafe.Pointer(path))
	var system *C.offnominal_system
	if C.offnominal_system_load(path, &system, &failure) != C.OFFNOMINAL_OK {
		panic(C.GoString(&failure.message[0]))
	}
	defer C.offnominal_system_free(system)

	// Names are C's for as long as the question is: Go's own memory may hold no pointers of Go that C sees.
	stage, indoor := C.CString("high"), C.CString("indoor A")
	defer C.free(unsafe.Pointer(stage))
	defer C.free(unsafe.Pointer(indoor))
	var question C.offnominal_conditions
	C.offnominal_conditions_init(&question, C.size_t(unsafe.Sizeof(question)))
	question.stage, question.match = stage, indoor
	question.line_set = C.OFFNOMINAL_LINE_SET_REFERENCE
	question.boundary = C.OFFNOMINAL_BOUNDARY_COIL
	question.airflow_is = C.OFFNOMINAL_AIRFLOW_STANDARD
	question.outdoor_dry_bulb, question.entering_dry_bulb, question.entering_wet_bulb = 95, 80, 67
	question.airflow, question.elevation = 1000, 0

	var json *C.char
	if C.offnominal_expect_json(system, C.OFFNOMINAL_UNITS_IP, &question, &json, &failure) != C.OFFNOMINAL_OK {
		panic(C.GoString(&failure.message[0]))
	}
	var answer C.offnominal_expected
	answer.struct_size = C.size_t(unsafe.Sizeof(answer))
	C.offnominal_expect(system, C.OFFNOMINAL_UNITS_IP, &question, &answer, nil)
	question.outdoor_dry_bulb = 120
	if C.offnominal_expect(system, C.OFFNOMINAL_UNITS_IP, &question, &answer, &failure) != C.OFFNOMINAL_REFUSED {
		panic("no refusal")
	}
	os.Stdout.WriteString(C.GoString(json) + "\n" + C.GoString(&failure.message[0]) + "\n")
	C.offnominal_text_free(json)

	var design C.offnominal_design
	C.offnominal_design_init(&design, C.size_t(unsafe.Sizeof(design)))
	design.total_load, design.sensible_load = 30000, 23000
	design.outdoor_dry_bulb, design.entering_dry_bulb, design.entering_wet_bulb = 95, 77, 65
	design.elevation = 0
	if C.offnominal_choose(&system, 1, C.OFFNOMINAL_UNITS_IP, &design, &json, &failure) != C.OFFNOMINAL_OK {
		panic(C.GoString(&failure.message[0]))
	}
	os.Stdout.WriteString(C.GoString(json) + "\n")
	C.offnominal_text_free(json)
}
