// The lift cabin's panel by a phone of 48 megapixels: too large for git.
#include "photo.inc"
#declare About = "invented: a lift cabin's ceiling panel in light grey plastic, four holes, a 77 mm grille, 48 megapixels, tilted 8 degrees";
#declare On_demand = true;
#declare Seed = 153;
#declare Photo_width = 8064;
#declare Photo_height = 6048;
#declare Focal_35 = 25.8;
#declare Blur = 1.6;
#declare Full_well = 1200;
#declare Antialias = 0.02;
#declare Sharpening = 0.5;
#declare Quality = 85;
#include "panel.inc"
#include "wear.inc"

Camera(<56, 14, 0>, 365, 8, 280, 4)
Lamp(60, 48, 160, <1.0, 0.96, 0.90>*0.85)
Room_light(200, <0.93, 0.97, 1.0>*0.16)

Plastic(<0.36, 0.37, 0.38>, 0.2, 0.02)
Outline(array[4] {<-62, -74>, <172, -72>, <170, 104>, <-60, 102>}, 12, 6)
Grille(<96, 30>, 77, 0, 0)
Mounting_hole(<49.6, 76.3>, 5.2)
Mounting_hole(<142.4, 75.9>, 5.2)
Mounting_hole(<142.8, -16.2>, 5.2)
Mounting_hole(<49.3, -16.5>, 5.2)

Rib(<45, -44>, <152, -44>, 1.5, 5)
Stray_hole(<-46, 84>, 7)
Slot(<96, -58>, 18, 5, 0)
Post(<16, 84>, 6, 5)
Panel()

Mesh(<96, 30>, 79, 1.4, 2.4, 1.6, 20, <0.07, 0.07, 0.07>)
Cloth(<96, 30>, 79, 4, <0.02, 0.02, 0.02>)
Square(23, 60, 60, <0, 0>, 0)
Bench(11, Boards(<0.46, 0.33, 0.20>, 42))
Write_truth()
