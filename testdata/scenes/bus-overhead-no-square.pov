// The bus's overhead panel, and no square on it: nothing can be measured.
#include "photo.inc"
#declare About = "invented: a bus's overhead panel without a reference square";
#declare Status = 1;
#declare Seed = 111;
#declare Focal_35 = 26.0;
#include "panel.inc"

Camera(<56, 30, 0>, 430, 6, 30, -5)
Lamp(160, 48, 120, <1, 0.97, 0.92>*0.85)
Room_light(80, <0.94, 0.97, 1>*0.16)

Plastic(<0.26, 0.26, 0.25>, 0.25, 0)
Outline(array[6] {<-80, -80>, <196, -80>, <208, 40>, <180, 132>, <-60, 140>, <-88, 50>}, 16, 10)
Grille(<110, 34>, 58, 0, 0)
Mounting_hole(<72.2, 62.1>, 5.2)
Mounting_hole(<148.9, 59.6>, 5.2)
Mounting_hole(<105.3, -12.2>, 5.2)
Window(<-10, 4>, 44, 44, 4)
Window(<160, -58>, 20, 7, 0)
Window(<10, 112>, 20, 7, 0)
Stray_hole(<-50, 100>, 8)
Post(<182, 100>, 6, 9)
Rib(<-60, 66>, <44, 66>, 1.6, 6)
Panel()
Mesh(<110, 34>, 60, 1.8, 2.5, 1.7, 30, <0.07, 0.07, 0.07>)
Cloth(<110, 34>, 60, 5, <0.012, 0.012, 0.012>)
Bench(18, Wood(<0.46, 0.36, 0.24>))
Write_truth()
