package senml_test

import (
	"fmt"
	"time"

	"duskloop/agent/senml"
)

func ExamplePack_Resolve() {
	name, at := "duskloop/bench/", 1768496400.0
	pack := senml.Pack{senml.Number("tank", senml.Celsius, 61.25), senml.Flag("buzzer", false)}
	pack[0].BaseName, pack[0].BaseTime, pack[0].Time = &name, &at, -2
	line, err := pack.Marshal()
	fmt.Println(string(line), err)
	resolved, err := pack.Resolve(time.Now())
	fmt.Println(resolved[0].Name, *resolved[0].Value, resolved[0].Unit, time.Unix(int64(resolved[0].Time), 0).UTC(), err)
	// Output:
	// [{"bn":"duskloop/bench/","bt":1768496400,"n":"tank","u":"Cel","v":61.25,"t":-2},{"n":"buzzer","vb":false}] <nil>
	// duskloop/bench/tank 61.25 Cel 2026-01-15 16:59:58 +0000 UTC <nil>
}
