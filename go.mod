module trimscribe

go 1.25

require (
	codeberg.org/go-pdf/fpdf v0.11.1
	github.com/fogleman/gg v1.3.0
	github.com/rogpeppe/go-internal v1.16.0
	github.com/rwcarlsen/goexif v0.0.0-20190401172101-9e8deecbddbd
	github.com/spf13/pflag v1.1.0
	gocv.io/x/gocv v0.31.0
	golang.org/x/image v0.27.0
	gonum.org/v1/gonum v0.17.0
)

require (
	github.com/golang/freetype v0.0.0-20170609003504-e2365dfdc4a0 // indirect
	golang.org/x/sys v0.30.0 // indirect
	golang.org/x/text v0.25.0 // indirect
	golang.org/x/tools v0.30.0 // indirect
)
