package onewire

// crcPolynomial is x⁸+x⁵+x⁴+1 with its bits reversed, because 1-Wire sends the
// lowest bit first (Maxim application note 27, "Understanding and Using Cyclic
// Redundancy Checks with Maxim 1-Wire and iButton Products").
const crcPolynomial = 0x8C

// CRC8 is the 1-Wire checksum of data. Eight zero bytes have the checksum
// zero, so a line that is stuck low passes it: the checksum alone proves
// nothing.
func CRC8(data []byte) byte {
	var crc byte
	for _, b := range data {
		crc ^= b
		for range 8 {
			low := crc & 1
			crc >>= 1
			if low == 1 {
				crc ^= crcPolynomial
			}
		}
	}
	return crc
}
