// A tram's wall panel. The square came out of a printer that is 0.7 % short one
// way and 0.3 % long the other: 59.58 x 60.18 mm, where the callipers, which read
// to a tenth, say 59.6 x 60.2.
#include "photo.inc"
#declare About = "invented: a tram's wall panel in pale green plastic, three holes, square printed 0.7 % short and 0.3 % long, tilted 7 degrees";
#declare Args = "\"--square-size\",\"59.6x60.2\"";
#declare Paper = 0.1;
#declare Photo_width = 3264;
#declare Photo_height = 2448;
#declare Exif_model = "Test camera 3";
#declare Seed = 141;
#declare Focal_35 = 26.5;
#declare Tint = <0.98, 1, 1.02>;
#include "panel.inc"

Camera(<52, 26, 0>, 350, 7, 205, -8)
Lamp(130, 52, 140, <1, 0.98, 0.94>*0.80)
Room_light(250, <0.95, 0.98, 1>*0.17)

Plastic(<0.38, 0.45, 0.37>, 0.3, 0.03)
Outline(array[6] {<-62, -66>, <150, -70>, <176, -20>, <170, 96>, <132, 122>, <-58, 108>}, 14, 7)
Grille(<96, 34>, 56.6, 0, 0)
Mounting_hole(<61.6, 57.3>, 4.6)
Mounting_hole(<131.8, 54.9>, 4.6)
Mounting_hole(<95.1, -7.4>, 4.6)

Stray_hole(<-30, 84>, 6.5)
Stray_hole(<150, -34>, 3.4)
Window(<40, -54>, 18, 6, 0)
Window(<50, 96>, 18, 6, 0)
Post(<154, 84>, 5.5, 7)
Rib(<66, -52>, <118, -52>, 1.6, 5)
Panel()

Mesh(<96, 34>, 58, 1.1, 2.0, 1.35, 8, <0.05, 0.05, 0.05>)
Cloth(<96, 34>, 58, 4, <0.015, 0.015, 0.015>)
Square(21, 59.58, 60.18, <0, 0>, 0)
Bench(16, Mat(<0.36, 0.35, 0.34>))
Write_truth()
