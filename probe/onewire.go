package probe

// ds18b20LowPower is what the sensor shows when its supply does not suffice
// for a measurement (drivers/w1/slaves/w1_therm.c in the Linux kernel).
const ds18b20LowPower = 0x07ff

// DS18B20 returns the temperature in the register of a DS18B20: two's
// complement, 1/16 °C (data sheet, table "Temperature/Data Relationship"). Its
// range ends at 125 °C: enough for cream and stall, not for melting sugar.
func DS18B20(word uint16) Celsius { return Celsius(int16(word)) / 16 }

// DS18B20Scratchpad reads the sensor's nine bytes of memory.
func DS18B20Scratchpad(b [9]byte) (Celsius, Fault) {
	ones, zeros := true, true
	for _, v := range b {
		ones = ones && v == 0xff
		zeros = zeros && v == 0
	}
	switch {
	case ones: // nothing pulls the line down
		return 0, FaultOpen
	case zeros: // it is held down, and the CRC of zeros is zero
		return 0, FaultShort
	case CRC8(b[:8]) != b[8]:
		return 0, FaultGarbled
	}
	word := uint16(b[1])<<8 | uint16(b[0])
	switch {
	case word == 0x0550 && b[6] == 0x0c: // b[6] is 0x0c only until the first measurement
		return PowerOn, FaultPowerOn
	case word == ds18b20LowPower:
		return DS18B20(word), FaultReported
	}
	return DS18B20(word), FaultNone
}

// CRC8 returns the check byte of the 1-wire bus: x⁸+x⁵+x⁴+1, least significant
// bit first, from zero (Maxim application note 27).
func CRC8(data []byte) (crc byte) {
	for _, b := range data {
		crc ^= b
		for range 8 {
			odd := crc&1 != 0
			crc >>= 1
			if odd {
				crc ^= 0x8c
			}
		}
	}
	return crc
}
