// A ferry cabin's ceiling panel: bosses that are countersunk so wide that their bores lie deep, and a
// grille of rings, each a plainer circle than the opening.
#include "photo.inc"
#declare About = "invented: a ferry cabin's ceiling panel in grey-green plastic, three countersunk bosses 5 mm high, a grille of rings, tilted 11 degrees";
#declare Paper = 0.1;
#declare Args = "\"--hole-height\",\"5\"";
#declare Seed = 177;
#declare Photo_width = 2592;
#declare Photo_height = 1944;
#declare Focal_35 = 27.1;
#declare Antialias = 0.02;
#declare Sharpening = 0.6;
#declare Quality = 88;
#include "panel.inc"
#include "wear.inc"

Camera(<46, 20, 0>, 300, 11, 200, 3)
Window_light(150, 72, 1500, 1200, <0.97, 0.99, 1.0>*0.70)
Room_light(320, <0.95, 0.98, 1.0>*0.42)

Plastic(<0.20, 0.235, 0.21>, 0.3, 0.02)
Outline(array[5] {<-60, -62>, <146, -66>, <152, 84>, <92, 122>, <-58, 70>}, 14, 5)
Grille(<92, 28>, 47.4, 0, 0)
Rings(<92, 28>, 47.4, 3.0, 5.0, 1.8, 2, 38)
Countersunk_boss(<127.6, 44.2>, 10.4, 4.3, 5 + Paper, 9, 1.4)
Countersunk_boss(<60.5, 50.6>, 10.4, 4.3, 5 + Paper, 9, 1.4)
Countersunk_boss(<88.4, -11.5>, 10.4, 4.3, 5 + Paper, 9, 1.4)
Rib(<-20, 56>, <34, 74>, 1.5, 5)
Slot(<132, -40>, 15, 5, 80)
Stray_hole(<40, 84>, 6)
Post(<48, -46>, 4.5, 5)
Panel()

Cloth(<92, 28>, 48, 5, <0.03, 0.03, 0.028>)
Square(44, 60, 60, <0, 0>, 0)
Bench(14, Mat(<0.44, 0.42, 0.38>))
Write_truth()
