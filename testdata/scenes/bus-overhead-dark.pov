// The bus's overhead panel in black grained plastic, its mesh as black and
// unlit; the photo was passed on without its Exif.
#include "photo.inc"
#declare About = "invented: a bus's overhead panel in black grained plastic, three small holes, black mesh, tilted 12 degrees, no Exif";
#declare Exif = false;
#declare Seed = 116;
#declare Focal_35 = 26.8;
#declare Exposure = 1.2;
#declare Full_well = 2200;
#include "panel.inc"

Camera(<48, 30, 0>, 400, 12, 280, 11)
Lamp(60, 42, 90, <1, 0.97, 0.92>*0.88)
Room_light(200, <0.94, 0.97, 1>*0.14)

Plastic(<0.045, 0.045, 0.046>, 0.35, 0.10)
Outline(array[6] {<-76, -70>, <176, -70>, <190, 40>, <160, 124>, <-56, 130>, <-80, 50>}, 16, 10)
Grille(<98, 40>, 43.0, 0, 0)
Mounting_hole(<68.4, 62.8>, 3.0)
Mounting_hole(<133.2, 53.1>, 3.0)
Mounting_hole(<88.9, 5.4>, 3.0)

Stray_hole(<-40, 96>, 8)
Stray_hole(<58, -50>, 4.5)
Window(<140, -50>, 20, 7, 0)
Window(<10, 104>, 20, 7, 0)
Post(<160, 84>, 6, 9)
Post(<58, 20>, 3, 3)
Rib(<-60, 66>, <40, 66>, 1.6, 6)
Panel()

Mesh(<98, 40>, 45, 0.6, 1.5, 1.0, 30, <0.03, 0.03, 0.03>)
Cloth(<98, 40>, 45, 3, <0.008, 0.008, 0.008>)
Square(16, 60, 60, <0, 0>, 0)
Bench(18, Mat(<0.32, 0.31, 0.29>))
Write_truth()
