// The cable car's other panel; the phone has focused on something nearer.
#include "photo.inc"
#declare About = "invented: a cable car's cabin panel in pale blue plastic, two holes, out of focus, tilted 9 degrees";
#declare Seed = 174;
#declare Photo_width = 2592;
#declare Photo_height = 1944;
#declare Focal_35 = 26.9;
#declare Defocus = 4.5;
#declare Antialias = 0.02;
#declare Sharpening = 0.6;
#declare Quality = 86;
#include "panel.inc"
#include "wear.inc"

Camera(<-6, 54, 0>, 288, 9, 60, 92)
Lamp(20, 50, 90, <1.0, 0.96, 0.90>*0.82)
Room_light(200, <0.93, 0.97, 1.0>*0.18)

Plastic(<0.26, 0.35, 0.44>, 0.3, 0.02)
Dusty(<0.45, 0.44, 0.42>, 0.25, 130)
Outline(array[5] {<-82, -54>, <64, -54>, <76, 60>, <62, 164>, <-84, 164>}, 14, 6)
Grille(<-14, 92>, 64, 0, 0)
Mounting_hole(<-58.2, 92.3>, 4.2)
Mounting_hole(<30.6, 91.4>, 4.2)
Rib(<48, -36>, <48, 70>, 1.5, 5)
Rib(<-64, 64>, <-64, 10>, 1.5, 5)
Stray_hole(<52, 140>, 7)
Stray_hole(<-66, -36>, 3)
Slot(<-64, 146>, 14, 5, 60)
Post(<58, 90>, 5, 5)
Clip_tower(<60, 20>, 16, 8, 7, 90)
Panel()

Mesh(<-14, 92>, 66, 1.3, 2.6, 1.8, 9, <0.06, 0.06, 0.06>)
Cloth(<-14, 92>, 66, 4, <0.02, 0.02, 0.02>)
Square(41, 60, 60, <0, 0>, 0)
Bench(13, Boards(<0.42, 0.29, 0.17>, 30))
Write_truth()
